import {
  LN2_HIGH,
  LN2_LOW,
  LOG_A3,
  LOG_A4,
  LOG_A5,
  LOG_A6,
  LOG_ENTRIES,
  LOG_OFFSET,
  LOG_ROUNDER,
  LOG_TABLE,
} from "./log-table.ts";
import { highWord, powerOfTwo } from "./power-of-two.ts";

const INDEX_MASK = LOG_ENTRIES - 1;

/**
 * The natural logarithm of x, the same bits on every machine.
 *
 * Zero of either sign gives -Infinity, a negative number NaN, Infinity itself, NaN itself; log(1) is +0. Subnormal
 * arguments lose nothing.
 *
 * Accuracy: at most 0.76 units in the last place (0.7500 measured, for x within 2^-20 of 1; 0.61 once |x - 1| exceeds
 * 2^-8, 0.502 beyond 2).
 *
 * Algorithm: x = 2^k z with z in [361/512, 361/256); a table gives v near 1/z and l = -log v, so that
 * log x = k ln 2 + l + log(1 + r), r = z v - 1, |r| <= 2^-8. z is cut at 2^-20 so that the larger part of r is exact,
 * and the cell around 1 has v = 1, l = 0, so that nothing cancels there.
 *
 * For lanes, the same bits without branches: move x by 2^54 and k by -54 where x < 2^-1022; add LOG_OFFSET * 2^32 to
 * the bits, take k + 1023 from bits 52 and up and the table index from bits 45 to 51; subtract k from the exponent
 * bits; then the arithmetic below in its order; last, choose the special results by comparing x.
 *
 * Source: Tang 1990, Gal and Bachelis 1991 (cited in log-table.ts); Fast2Sum: Dekker, Numer Math 1971;18:224-242.
 *
 * @example
 * log(2); // 0.6931471805599453
 */
export function log(x: number): number {
  if (x >= 2 ** -1022 && x < Number.POSITIVE_INFINITY) return logOfNormal(x, 0);
  if (x > 0 && x < Number.POSITIVE_INFINITY) return logOfNormal(x * 2 ** 54, -54);
  return x === 0 ? Number.NEGATIVE_INFINITY : x > 0 ? x : Number.NaN;
}

function logOfNormal(x: number, shift: number): number {
  const word = highWord(x) + LOG_OFFSET;
  const exponent = (word >> 20) - 1023;
  const j = ((word >> 13) & INDEX_MASK) * 2;
  const v = LOG_TABLE[j]!;
  const z = x * powerOfTwo(-exponent);
  const zHigh = z + LOG_ROUNDER - LOG_ROUNDER;
  const rHigh = zHigh * v - 1;
  const rLow = (z - zHigh) * v;
  const r = rHigh + rLow;
  const k = exponent + shift;
  // Both terms are multiples of 2^-43, so their sum is exact.
  const w = k * LN2_HIGH + LOG_TABLE[j + 1]!;
  const high = w + rHigh;
  const low = w - high + rHigh + k * LN2_LOW;
  const r2 = r * r;
  const q = r2 * (-0.5 + r * LOG_A3 + r2 * (LOG_A4 + r * LOG_A5 + r2 * LOG_A6));
  return high + (low + (rLow + q));
}

/**
 * log(1 + x) without cancellation near zero, the same bits on every machine.
 *
 * -1 gives -Infinity, less than -1 NaN, Infinity itself, NaN itself; below 2^-54 in size the argument comes back, so
 * the sign of zero and subnormals are kept.
 *
 * Accuracy: at most 0.76 units in the last place (0.7500 measured, for |x| below 2^-20).
 *
 * Algorithm: u = 1 + x is rounded, what the rounding lost is found exactly by TwoSum and joins the low part of z; from
 * there on as `log`. Past 2^60 the 1 no longer matters and the loss is set to zero.
 *
 * For lanes: as `log`; take z from the bits of u, and 2^-k by subtracting k from the exponent of 1. Where k is 1024 that
 * gives a wrong number, but there the loss is selected away after the product, as it is here.
 *
 * Source: as `log`; TwoSum: Knuth, The Art of Computer Programming, volume 2, section 4.2.2, theorem B.
 *
 * @example
 * log1p(1e-20); // 1e-20
 */
export function log1p(x: number): number {
  if (x < 2 ** -54 && x > -(2 ** -54)) return x;
  if (!(x > -1 && x < Number.POSITIVE_INFINITY)) return x === -1 ? Number.NEGATIVE_INFINITY : x > 0 ? x : Number.NaN;
  const u = 1 + x;
  const b = u - 1;
  const lost = 1 - (u - b) + (x - b);
  const word = highWord(u) + LOG_OFFSET;
  const k = (word >> 20) - 1023;
  const j = ((word >> 13) & INDEX_MASK) * 2;
  const v = LOG_TABLE[j]!;
  const unit = powerOfTwo(-k);
  const z = u * unit;
  const zHigh = z + LOG_ROUNDER - LOG_ROUNDER;
  const zLow = z - zHigh + (x < 2 ** 60 ? lost * unit : 0);
  const rHigh = zHigh * v - 1;
  const rLow = zLow * v;
  const r = rHigh + rLow;
  const w = k * LN2_HIGH + LOG_TABLE[j + 1]!;
  const high = w + rHigh;
  const low = w - high + rHigh + k * LN2_LOW;
  const r2 = r * r;
  const q = r2 * (-0.5 + r * LOG_A3 + r2 * (LOG_A4 + r * LOG_A5 + r2 * LOG_A6));
  return high + (low + (rLow + q));
}
