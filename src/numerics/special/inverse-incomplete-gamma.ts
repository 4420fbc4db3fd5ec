import { exp, expm1 } from "../exp.ts";
import { log } from "../log.ts";
import type { IncompleteGamma } from "./incomplete-gamma.ts";
import { normalQuantile } from "./normal-quantile.ts";

/** Once a step changes ln F by less than this, the cubic error left behind is below rounding. */
const LAST_STEP = 5e-6;

/** Halley steps tried before plain Newton, which is slower but cannot fail here, takes over. */
const HALLEY_STEPS = 12;
const MOST_STEPS = 200;

/** Below this logarithm a power law holds to the last bit and its result may underflow. */
const POWER_LAW_BELOW = -650;

/**
 * Argument x at which the lower regularised incomplete gamma function of `shape` is p; the inverse of `gamma`.
 *
 * p and `upper` = 1 - p lie in (0, 1); the smaller tail decides. Steps are taken in ln x on the logarithm of that tail,
 * which is concave because the density of ln x is log-concave: Newton's method then converges from any start, and
 * Halley's, tried first, usually needs one or two evaluations. Result accurate to 2 epsilon or, where the law is so wide
 * that p cannot fix x so well, to a relative error of 2e-14 in the tail; below 1e-290 the power law answers and
 * may underflow to 0.
 * Source: Gil, Segura, Temme, SIAM J. Sci. Comput. 34 (2012) A2965, from memory, for the scheme; starts below.
 */
export function inverseIncompleteGamma(gamma: IncompleteGamma, shape: number, p: number, upper: number): number {
  const lower = p <= upper;
  const side = lower ? 1 : -1;
  const target = log(lower ? p : upper);
  if (lower) {
    const logPowerLaw = (target + gamma.logGammaOnePlusShape) / shape;
    if (logPowerLaw < POWER_LAW_BELOW) return exp(logPowerLaw);
  }
  let x = start(gamma, shape, p, upper);
  // a tail so wide that its argument underflows: the power law of the lower tail answers
  if (!(x > 1e-290)) return exp((log(p) + gamma.logGammaOnePlusShape) / shape);
  for (let step = 0; step < MOST_STEPS; step++) {
    const ratio = lower ? gamma.belowRatio(x) : gamma.aboveRatio(x);
    const newton = side * ratio * (target - gamma.logKernel(x) - log(ratio));
    const slope = shape - x;
    const bend = 1 + 0.5 * newton * (slope - side / ratio);
    const change = step < HALLEY_STEPS ? newton / Math.max(bend, 0.5) : newton;
    x += x * expm1(change);
    if (Math.abs(change) < LAST_STEP * Math.min(ratio, 1, 1 / Math.abs(slope))) return x;
  }
  throw new Error(`gamma quantile did not converge: shape ${shape}, p ${p}`);
}

/**
 * First guess. Shape 20 and over: the normal score through the uniform expansion. Otherwise the first two terms of the
 * lower tail's power series where that is small, else, from shape 1, Wilson and Hilferty's cube (Abramowitz and Stegun
 * 26.4.17), and below shape 1 the leading term of the upper tail's asymptotic series (6.5.32).
 */
function start(gamma: IncompleteGamma, shape: number, p: number, upper: number): number {
  const { expansion } = gamma;
  const score = shape < 1 ? 0 : normalQuantile(p, upper);
  if (expansion !== undefined) {
    const t = expansion.start(score);
    if (t <= expansion.reach && t >= -expansion.reach) return shape * (1 + expansion.excess(t));
  }
  return smallShapeStart(shape, p, upper, score, gamma.logGammaOnePlusShape);
}

/** The guess for a shape below 20; also the start of the beta law's inverse when one shape is far larger. */
export function smallShapeStart(
  shape: number,
  p: number,
  upper: number,
  score: number,
  logGammaOnePlusShape: number,
): number {
  const power = exp((log(p) + logGammaOnePlusShape) / shape);
  if (power < 0.2 * (shape + 1)) return power * (1 + power / (shape + 1));
  if (shape >= 1) {
    const c = 1 / (9 * shape);
    const cube = 1 - c + score * Math.sqrt(c);
    return Math.max(shape * cube * cube * cube, 0.1);
  }
  const tail = log(shape) - logGammaOnePlusShape - log(upper);
  return tail > 1 ? tail - (1 - shape) * log(tail) : Math.min(power, 1);
}
