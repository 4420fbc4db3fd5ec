/** (-1)^k / (2 k + 1)!, k from 0; at pi / 6 the next term is 5e-20. */
const TAYLOR = [1, -1 / 6, 1 / 120, -1 / 5040, 1 / 362880, -1 / 39916800, 1 / 6227020800, -1 / 1307674368000] as const;

/**
 * Sine of x radians for |x| <= pi / 6, within an ulp; throws beyond, where the series is not meant to go.
 * Source: Taylor series, Abramowitz and Stegun (1964) 4.3.65.
 * @example smallSine(0) // 0
 */
export function smallSine(x: number): number {
  if (!(x <= 0.5236 && x >= -0.5236)) throw new Error(`sine of ${x} by a series for at most pi / 6`);
  const t = x * x;
  let sum = 0;
  for (let k = TAYLOR.length - 1; k > 0; k--) sum = (sum + TAYLOR[k]!) * t;
  return x + x * sum;
}
