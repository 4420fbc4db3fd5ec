/** What a search for a root found; `x` is where it ended and `value` the function there. */
export type Root =
  | { readonly kind: "found"; readonly x: number; readonly value: number; readonly evaluations: number }
  | { readonly kind: "no sign change"; readonly lowValue: number; readonly highValue: number }
  | { readonly kind: "not a number"; readonly x: number };

/** More than bisection from the widest to the narrowest interval of doubles could need. */
const MOST_EVALUATIONS = 10_000;

/**
 * A root of a continuous function between two points where its signs differ, by Brent's method.
 *
 * @param f - called at the two ends first, then once a step; infinite values count by their sign
 * @param low - one end, finite
 * @param high - the other end, finite, either side of the first
 * @param tolerance - absolute distance from a sign change to stop at, 0 or more; never finer than the spacing of doubles
 *
 * "no sign change" comes back when the ends have the same sign, "not a number" as soon as f gives NaN. An end that is a
 * root is returned at once. Equal calls give equal bits. Throws on bad ends or a bad tolerance, our own mistakes.
 *
 * Source: Brent, Algorithms for Minimization without Derivatives (Prentice-Hall 1973), chapter 4.
 *
 * @example
 * findRoot((x) => x * x - 2, 0, 2, 0); // { kind: "found", x: 1.4142135623730951, ... }
 */
export function findRoot(f: (x: number) => number, low: number, high: number, tolerance: number): Root {
  if (!(Number.isFinite(low) && Number.isFinite(high))) throw new Error(`ends must be finite: ${low}, ${high}`);
  if (!(tolerance >= 0)) throw new Error(`tolerance out of range: ${tolerance}`);
  // As in the source: b is the best point, c lies across the root from it, a is the point before b.
  let a = low;
  let b = high;
  let fa = f(a);
  if (Number.isNaN(fa)) return { kind: "not a number", x: a };
  let fb = f(b);
  if (Number.isNaN(fb)) return { kind: "not a number", x: b };
  if (fa === 0) return { kind: "found", x: a, value: fa, evaluations: 2 };
  if (fb !== 0 && fa > 0 === fb > 0) return { kind: "no sign change", lowValue: fa, highValue: fb };
  let c = a;
  let fc = fa;
  let step = b - a;
  let stepBefore = step;
  for (let evaluations = 2; evaluations < MOST_EVALUATIONS; evaluations++) {
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const finest = 2 * Number.EPSILON * Math.abs(b) + 0.5 * tolerance;
    const half = 0.5 * c - 0.5 * b;
    if (Math.abs(half) <= finest || fb === 0) return { kind: "found", x: b, value: fb, evaluations };
    const tried = Math.abs(stepBefore) >= finest && Math.abs(fa) > Math.abs(fb) ? interpolated(a, b, c, fa, fb, fc) : 0;
    const size = half > 0 ? tried : -tried;
    // Interpolation must point into the bracket, stay off its far end, and halve the step before last.
    if (size > 0 && 2 * size < 3 * Math.abs(half) - finest && size < 0.5 * Math.abs(stepBefore)) {
      stepBefore = step;
      step = tried;
    } else {
      stepBefore = half;
      step = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > finest ? step : half > 0 ? finest : -finest;
    fb = f(b);
    if (Number.isNaN(fb)) return { kind: "not a number", x: b };
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      stepBefore = step;
    }
  }
  throw new Error("root search did not end");
}

/** The step from b by inverse quadratic interpolation, or by the secant while only two points are known. */
function interpolated(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return ((c - b) * s) / (s - 1);
  const q = fa / fc;
  const r = fb / fc;
  return -(s * ((c - b) * q * (q - r) - (b - a) * (r - 1))) / ((q - 1) * (r - 1) * (s - 1));
}
