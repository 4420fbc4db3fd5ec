import { normalDensity, normalTailRatio } from "../numerics/special/normal-tail.ts";

/**
 * Expected shortfall of a standard normal below a point, `E[max(0, Z - z)] = phi(z) - z (1 - Phi(z))`.
 *
 * Falls from about `-z` far below 0 through 0.3989 at 0 to 0 above. Relative accuracy is a few times `(1 + z^2)`
 * machine epsilon, since the two terms cancel in the upper tail.
 * @param z any finite number
 *
 * Source: Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961 (from memory).
 * @example unitNormalLoss(0) // 0.3989422804014327
 */
export function unitNormalLoss(z: number): number {
  if (z < 0) return unitNormalLoss(-z) - z;
  return normalDensity(z) * (1 - z * normalTailRatio(z));
}
