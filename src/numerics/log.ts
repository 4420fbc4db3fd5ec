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

const MASK = LOG_ENTRIES - 1;

/** Natural logarithm, the same bits on every machine; -Infinity at zero, NaN below. */
export function log(x: number): number {
  if (!(x > 0 && x < Infinity)) return x === 0 ? -Infinity : x > 0 ? x : NaN;
  const subnormal = x < 2 ** -1022;
  return logOfSum(subnormal ? x * 2 ** 54 : x, 0, subnormal ? -54 : 0);
}

/** log(1 + x) without cancellation near zero; keeps the sign of zero. */
export function log1p(x: number): number {
  if (x < 2 ** -54 && x > -(2 ** -54)) return x;
  if (!(x > -1 && x < Infinity)) return x === -1 ? -Infinity : x > 0 ? x : NaN;
  const u = 1 + x;
  const b = u - 1;
  return logOfSum(u, x < 2 ** 60 ? 1 - (u - b) + (x - b) : 0, 0);
}

/** log(x + rest) + shift ln 2, for positive normal x and |rest| at most half a unit in the last place of x. */
function logOfSum(x: number, rest: number, shift: number): number {
  const word = highWord(x) + LOG_OFFSET;
  const k = (word >> 20) - 1023;
  const j = ((word >> 13) & MASK) * 2;
  const reciprocal = LOG_TABLE[j]!;
  const unit = powerOfTwo(-k);
  const z = x * unit;
  const zh = z + LOG_ROUNDER - LOG_ROUNDER;
  const rh = zh * reciprocal - 1;
  const rl = (z - zh + rest * unit) * reciprocal;
  const r = rh + rl;
  const exponent = k + shift;
  const w = exponent * LN2_HIGH + LOG_TABLE[j + 1]!;
  const high = w + rh;
  const r2 = r * r;
  const q = r2 * (-0.5 + r * LOG_A3 + r2 * (LOG_A4 + r * LOG_A5 + r2 * LOG_A6));
  return high + (w - high + rh + exponent * LN2_LOW + (rl + q));
}
