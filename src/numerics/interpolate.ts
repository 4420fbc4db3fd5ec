/** How a table is read between its rows: the row at or below, straight lines, or a monotone cubic. */
export type Between = "step" | "linear" | "monotone";

/**
 * Slopes of a monotone piecewise cubic through rising positions `x` (at least two): the weighted harmonic mean of
 * neighbouring secants, zero at turning points, one-sided three-point slopes at the ends, limited to keep monotonicity.
 * Source: Fritsch and Butland, SIAM J Sci Stat Comput 1984;5:300-304 (from memory).
 */
export function monotoneSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const n = x.length;
  const slopes = new Float64Array(n);
  if (n < 2) return slopes;
  const h = new Float64Array(n - 1);
  const secant = new Float64Array(n - 1);
  for (let i = 0; i < n - 1; i++) {
    h[i] = x[i + 1]! - x[i]!;
    secant[i] = (y[i + 1]! - y[i]!) / h[i]!;
  }
  if (n === 2) return slopes.fill(secant[0]!);
  for (let i = 1; i < n - 1; i++) {
    const before = secant[i - 1]!;
    const after = secant[i]!;
    if (before * after <= 0) continue;
    const w1 = 2 * h[i]! + h[i - 1]!;
    const w2 = h[i]! + 2 * h[i - 1]!;
    slopes[i] = (w1 + w2) / (w1 / before + w2 / after);
  }
  slopes[0] = endSlope(h[0]!, h[1]!, secant[0]!, secant[1]!);
  slopes[n - 1] = endSlope(h[n - 2]!, h[n - 3]!, secant[n - 2]!, secant[n - 3]!);
  return slopes;
}

function endSlope(h0: number, h1: number, s0: number, s1: number): number {
  const slope = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
  if (slope * s0 <= 0) return 0;
  return s0 * s1 <= 0 && Math.abs(slope) > 3 * Math.abs(s0) ? 3 * s0 : slope;
}

/** Index of the last of rising positions at or below `at`; -1 below the first. */
export function rowAt(x: Float64Array, at: number): number {
  let low = -1;
  let high = x.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle]! <= at) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * Value at a position: the end rows are held beyond the ends. `slopes` are needed for `monotone` only.
 */
export function interpolated(
  between: Between,
  x: Float64Array,
  y: Float64Array,
  slopes: Float64Array,
  at: number,
): number {
  const last = x.length - 1;
  const i = rowAt(x, at);
  if (i < 0) return y[0]!;
  if (i >= last || between === "step") return y[i]!;
  const h = x[i + 1]! - x[i]!;
  const t = (at - x[i]!) / h;
  const rise = y[i + 1]! - y[i]!;
  if (between === "linear") return y[i]! + rise * t;
  const a = h * slopes[i]! - rise;
  const b = rise - h * slopes[i + 1]!;
  return y[i]! + t * (rise + (1 - t) * ((1 - t) * a + t * b));
}
