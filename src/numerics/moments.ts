import { CompensatedSum, compensatedSum } from "./sum.ts";

/**
 * The arithmetic mean, from a compensated sum in the order of the values.
 *
 * Throws on an empty list; a sum that overflows gives Infinity.
 *
 * Accuracy: two units in the last place unless the values cancel by more than 2^50.
 *
 * @example
 * mean([1, 2, 4]); // 2.3333333333333335
 */
export function mean(values: ArrayLike<number>): number {
  if (values.length === 0) throw new Error("mean of an empty list");
  return compensatedSum(values) / values.length;
}

/**
 * The sample variance, divisor n - 1, at least 0.
 *
 * Throws on fewer than two values.
 *
 * Source: the corrected two-pass algorithm of Chan, Golub and LeVeque, Am Stat 1983;37:242-247, eq 1.7, sums compensated.
 *
 * @example
 * variance([1, 2, 3]); // 1
 */
export function variance(values: ArrayLike<number>): number {
  return covariance(values, values);
}

/**
 * The sample covariance of two equally long lists, divisor n - 1.
 *
 * Throws on fewer than two pairs or lists of different length.
 *
 * Source: as `variance`, with the product of the two deviations in place of the square.
 *
 * @example
 * covariance([1, 2, 3], [2, 4, 6]); // 2
 */
export function covariance(x: ArrayLike<number>, y: ArrayLike<number>): number {
  const count = x.length;
  if (y.length !== count) throw new Error(`lists of different length: ${count} and ${y.length}`);
  if (count < 2) throw new Error(`too few values for a variance: ${count}`);
  const meanX = mean(x);
  const meanY = mean(y);
  const products = new CompensatedSum();
  // The deviations would sum to zero but for the rounding of the means, which these two sums take out again.
  const deviationsX = new CompensatedSum();
  const deviationsY = new CompensatedSum();
  for (let i = 0; i < count; i++) {
    const a = x[i]! - meanX;
    const b = y[i]! - meanY;
    products.add(a * b);
    deviationsX.add(a);
    deviationsY.add(b);
  }
  return (products.total() - (deviationsX.total() * deviationsY.total()) / count) / (count - 1);
}
