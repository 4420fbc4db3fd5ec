import { exp } from "../exp.ts";

const SQRT_TWO_PI = 2.5066282746310002;
const INVERSE_SQRT_TWO_PI = 0.3989422804014327;

/** Beyond this the density is below the smallest subnormal number. */
const LARGEST_SCORE = 39;

/** Powers of s = (z - 4) / (z + 4), even and odd apart; made by tests/fixtures/distributions/normal-tail.py. */
const EVEN = [
  1.8932190633084853, 0.9704095548675873, 0.15139176231250703, -0.008722295275658478, 0.0003342446322140252,
  -4.78337293144866e-6, 1.7968713266322305e-6, -1.5801527038269523e-6, 6.857356598857744e-7, -2.2154703591234997e-7,
  5.723574860834685e-8, -1.145701192548296e-8, 1.5854913575589376e-9, -1.1267807254343629e-10,
] as const;
const ODD = [
  -1.523770910819983, -0.4675409629983781, -0.018900450860304858, 0.004087855661108637, -0.0005792691439164002,
  8.809493632053581e-5, -1.4840709572320443e-5, 2.5631788508369016e-6, -3.922932522029042e-7, 3.667379499339782e-8,
  3.591977863749529e-9, -2.142295344405777e-9, 2.946488876291306e-10,
] as const;

/**
 * Mills' ratio of the standard normal law, (1 - Phi(z)) / phi(z), for z >= 0; falls from 1.2533 at 0 like 1 / z.
 *
 * One polynomial of degree 26 in (z - 4) / (z + 4), accurate to about 4 epsilon for every z up to infinity.
 * Source: method of Shepherd and Laframboise, Math. Comp. 36 (1981) 249-253; own coefficients.
 * @example normalTailRatio(0) // 1.2533141373155003
 */
export function normalTailRatio(z: number): number {
  const r = 1 / (z + 4);
  const s = z < 1e300 ? (z - 4) * r : 1;
  const t = s * s;
  let even = EVEN[13];
  let odd = ODD[12];
  for (let i = 12; i > 0; i--) {
    even = even * t + EVEN[i]!;
    odd = odd * t + ODD[i - 1]!;
  }
  return (even * t + EVEN[0] + odd * s) * r;
}

/**
 * Density of the standard normal law at z, any sign; 0 beyond about 38.6.
 *
 * The square is split at a sixteenth so that the far tail keeps full relative accuracy (Cody, Math. Comp. 1969).
 * @example normalDensity(0) // 0.3989422804014327
 */
export function normalDensity(z: number): number {
  if (z > LARGEST_SCORE || z < -LARGEST_SCORE) return 0;
  const high = Math.round(z * 16) * 0.0625;
  return exp(-0.5 * high * high) * exp(-0.5 * (z - high) * (z + high)) * INVERSE_SQRT_TWO_PI;
}

/**
 * Probability that a standard normal score exceeds z, any sign, to a few epsilon relative also in the far upper tail.
 * @example normalAbove(1.959963984540054) // 0.02500000000000002
 */
export function normalAbove(z: number): number {
  return z >= 0 ? normalDensity(z) * normalTailRatio(z) : 1 - normalDensity(z) * normalTailRatio(-z);
}

/**
 * Probability that a standard normal score is at most z, any sign; relative accuracy also in the far lower tail.
 * @example normalBelow(-1) // 0.15865525393145707
 */
export function normalBelow(z: number): number {
  return normalAbove(-z);
}

/**
 * Phi(z) / phi(z) for a score of any sign: `normalTailRatio(-z)` below zero, and its complement above, where the result
 * grows like exp(z^2 / 2). For sums that are scaled by the density.
 */
export function normalBelowRatio(z: number): number {
  if (z <= 0) return normalTailRatio(-z);
  return SQRT_TWO_PI * exp(0.5 * z * z) - normalTailRatio(z);
}
