import { exp } from "../exp.ts";
import { log } from "../log.ts";
import { normalBelowRatio } from "./normal-tail.ts";

/** Coefficients kept at most; at the smallest information allowed they leave less than an epsilon. */
const MOST_TERMS = 56;

/** The expansion serves scores |z| up to this, and any |t| up to SMALLEST_REACH however far the score. */
const REACH_IN_SCORES = 7.5;
const SMALLEST_REACH = 0.75;

/** Terms below this at the end of the reach are dropped. */
const NEGLIGIBLE = 1e-18;

/** Distribution function of a gamma or beta law of large shapes as a corrected normal law; see `normalExpansion`. */
export interface NormalExpansion {
  /** M: the square root of it turns the deviate t into a normal score. */
  readonly information: number;
  /** Largest |t| for which the two ratios below hold. */
  readonly reach: number;
  /** Probability below t, over the law's density in log or logit scale. */
  readonly belowRatio: (t: number) => number;
  /** Probability above t, over the same density. */
  readonly aboveRatio: (t: number) => number;
  /** Excess v over the mean at deviate t: x / a - 1 (gamma), (x - x0) / (x0 y0) (beta). */
  readonly excess: (t: number) => number;
  /** Deviate t whose probability is about that of the normal score z: error of order information^-2. */
  readonly start: (z: number) => number;
}

/**
 * Uniform expansion of a regularised incomplete gamma or beta function about the normal law, built once for its shapes.
 *
 * The deviate t has the sign of the excess v, and M t^2 / 2 is the log density's fall from its value at the mean.
 * v(t) solves v v' = t (1 + skew v - curve v^2): gamma has skew 1, curve 0, M = a; beta, with x0 = a / (a + b),
 * y0 = 1 - x0, has skew y0 - x0, curve x0 y0, M = a b / (a + b). With f = t / v and
 * F = Phi(t sqrt M) - exp(-M t^2 / 2) S(t) / sqrt(2 pi M), S solves t S - S' / M = C f - 1, whose coefficients follow by
 * backward recurrence; C = exp(logCorrection) gathers the Stirling remainders, -d(a) or d(a + b) - d(a) - d(b). Good
 * where both shapes are at least 20.
 * Source: Temme, SIAM J. Math. Anal. 13 (1982) 239-253 for the form; Gil, Segura, Temme, SIAM J. Sci. Comput. 34 (2012)
 * A2965 for the recurrence in the gamma case (from memory); the common form for beta is worked out here.
 */
export function normalExpansion(
  information: number,
  skew: number,
  curve: number,
  logCorrection: number,
): NormalExpansion {
  const root = Math.sqrt(information);
  const reach = Math.max(REACH_IN_SCORES / root, SMALLEST_REACH);
  const correction = exp(logCorrection);
  const v = excessSeries(skew, curve);
  const f = reciprocalSeries(v);
  const b = correctionSeries(f, correction, information);
  const sumTerms = termsNeeded(b, reach);
  const excessTerms = termsNeeded(v, reach);
  const scale = 1 / (root * correction);

  const ratio = (t: number, side: number) =>
    (normalBelowRatio(side * t * root) - (side * polynomial(b, sumTerms, t)) / root) * scale;
  return {
    information,
    reach,
    belowRatio: (t) => ratio(t, 1),
    aboveRatio: (t) => ratio(t, -1),
    excess: (t) => polynomial(v, excessTerms, t),
    start: (z) => {
      const t = z / root;
      return t + startShift(t, f, v, excessTerms) / information;
    },
  };
}

/** Series of v(t): v v' = t (1 + skew v - curve v^2), compared power by power; `square` holds the powers of v^2. */
function excessSeries(skew: number, curve: number): Float64Array {
  const v = new Float64Array(MOST_TERMS + 2);
  const square = new Float64Array(MOST_TERMS + 3);
  v[1] = 1;
  square[2] = 1;
  for (let n = 2; n <= MOST_TERMS + 1; n++) {
    square[n + 1] = (2 * (skew * v[n - 1]! - curve * square[n - 1]!)) / (n + 1);
    let known = 0;
    for (let i = 2; i < n; i++) known += v[i]! * v[n + 1 - i]!;
    v[n] = (square[n + 1]! - known) / 2;
  }
  return v;
}

/** Series of f(t) = t / v(t). */
function reciprocalSeries(v: Float64Array): Float64Array {
  const f = new Float64Array(MOST_TERMS + 1);
  f[0] = 1;
  for (let n = 1; n <= MOST_TERMS; n++) {
    let sum = 0;
    for (let k = 1; k <= n; k++) sum += v[k + 1]! * f[n - k]!;
    f[n] = -sum;
  }
  return f;
}

/** Series of S(t): b[n - 1] = C f[n] + (n + 1) b[n + 1] / M, from the top down. */
function correctionSeries(f: Float64Array, correction: number, information: number): Float64Array {
  const b = new Float64Array(MOST_TERMS + 2);
  for (let n = MOST_TERMS; n >= 1; n--) b[n - 1] = correction * f[n]! + ((n + 1) * b[n + 1]!) / information;
  return b;
}

/** Even number of leading coefficients without which the sum at `reach` would change by more than a trifle. */
function termsNeeded(c: Float64Array, reach: number): number {
  let n = MOST_TERMS;
  let power = 1;
  let last = 0;
  for (let i = 0; i < n; i++) {
    if (Math.abs(c[i]! * power) > NEGLIGIBLE) last = i;
    power *= reach;
  }
  n = last + 1;
  return n + (n % 2);
}

/** Sum of the first n (an even number) powers; even and odd powers go side by side for speed. */
function polynomial(c: Float64Array, n: number, t: number): number {
  const t2 = t * t;
  let even = 0;
  let odd = 0;
  for (let i = n - 2; i >= 0; i -= 2) {
    even = even * t2 + c[i]!;
    odd = odd * t2 + c[i + 1]!;
  }
  return even + odd * t;
}

/** First-order shift of the start, ln f(t) / t; near 0, where that is 0 / 0, its limit. */
function startShift(t: number, f: Float64Array, v: Float64Array, terms: number): number {
  if (t < 1e-4 && t > -1e-4) return f[1]!;
  return log(t / polynomial(v, terms, t)) / t;
}
