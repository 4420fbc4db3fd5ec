import {
  EXP_ENTRIES,
  EXP_ROUNDER,
  EXP_STEP_HIGH,
  EXP_STEP_LOW,
  EXP_STEPS_PER_UNIT,
  EXP_TABLE,
  EXPM1_C2,
  EXPM1_C3,
  EXPM1_C4,
  EXPM1_C5,
} from "./exp-table.ts";
import {
  LN2_HIGH,
  LN2_LOW,
  LOG_ENTRIES,
  LOG_OFFSET,
  LOG_ROUNDER,
  LOG_TABLE,
  LOG_TAIL,
  POW_A3,
  POW_A4,
  POW_A5,
  POW_A6,
  POW_A7,
  POW_A8,
} from "./log-table.ts";
import { highWord, powerOfTwo } from "./power-of-two.ts";

/** 2^27 + 1: splits a double into two halves of at most 26 bits (Dekker 1971). */
const SPLITTER = 134217729;

/** 1.5 * 2^18: rounds r to a multiple of 2^-34, so that its square is exact. */
const SQUARE_ROUNDER = 393216;

const LOG_MASK = LOG_ENTRIES - 1;
const EXP_MASK = EXP_ENTRIES - 1;
const EXP_INDEX_BITS = 8;

/**
 * x to the power y, the same bits on every machine.
 *
 * Special cases follow ECMAScript, which differs from IEEE 754 in two: pow(1, NaN) and pow(1, Infinity) (also for -1
 * and -Infinity) are NaN, not 1. pow(x, 0) is 1 for every x, NaN included. A negative x with a fractional y gives NaN.
 * Zero and Infinity bases take their sign from x where y is an odd integer.
 *
 * Accuracy: at most 0.52 units in the last place (0.516 measured), 0.77 where the result is subnormal (0.68 measured);
 * powers that a double holds exactly come out exact.
 *
 * For lanes: see `powerOfPositive`; the special cases are comparisons of x and y.
 *
 * Algorithm: log |x| as an unevaluated sum of two doubles, good to about 68 bits, from the table of `log`; its product
 * with y, again in two parts; then `exp` of the sum with the longer polynomial of `expm1`.
 *
 * Source: Tang 1989 and 1990 (cited in exp-table.ts, log-table.ts); splitting and exact products: Dekker, Numer Math
 * 1971;18:224-242; special cases: ECMA-262, Number::exponentiate.
 *
 * @example
 * pow(2, 0.5); // 1.4142135623730951
 */
export function pow(x: number, y: number): number {
  if (y === 0) return 1;
  if (x === 0 || !Number.isFinite(x) || !Number.isFinite(y)) return limit(x, y);
  if (x > 0) return powerOfPositive(x, y);
  if (Math.floor(y) !== y) return Number.NaN;
  const size = powerOfPositive(-x, y);
  return isOdd(y) ? -size : size;
}

/** Whether an integer is odd; doubles from 2^53 on are all even. */
function isOdd(y: number): boolean {
  const half = y * 0.5;
  return Math.floor(half) !== half;
}

/** pow where x is zero or one of x, y is not finite; y is not zero. */
function limit(x: number, y: number): number {
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.NaN;
  const size = Math.abs(x);
  if (!Number.isFinite(y)) {
    if (size === 1) return Number.NaN;
    return size > 1 === y > 0 ? Number.POSITIVE_INFINITY : 0;
  }
  const result = (size === 0) === y > 0 ? 0 : Number.POSITIVE_INFINITY;
  const negative = x < 0 || Object.is(x, -0);
  return negative && Math.floor(y) === y && isOdd(y) ? -result : result;
}

/** pow for finite x > 0 and finite y; straight-line arithmetic but for selects. */
function powerOfPositive(x: number, y: number): number {
  const subnormal = x < 2 ** -1022;
  const normal = subnormal ? x * 2 ** 54 : x;
  const word = highWord(normal) + LOG_OFFSET;
  const exponent = (word >> 20) - 1023;
  const j = (word >> 13) & LOG_MASK;
  const v = LOG_TABLE[2 * j]!;
  const z = normal * powerOfTwo(-exponent);
  const zHigh = z + LOG_ROUNDER - LOG_ROUNDER;
  const rHigh = zHigh * v - 1;
  const rLow = (z - zHigh) * v;
  const r = rHigh + rLow;
  const rLost = rLow - (r - rHigh);
  const k = subnormal ? exponent - 54 : exponent;
  const w = k * LN2_HIGH + LOG_TABLE[2 * j + 1]!;

  // log x = w + r - r^2/2 + r^3(...): the first two sums keep what rounding drops, the rest is small enough to add.
  const sum = w + r;
  const sumLost = w - sum + r + (k * LN2_LOW + LOG_TAIL[j]! + rLost);
  const a = r + SQUARE_ROUNDER - SQUARE_ROUNDER;
  const b = r - a + rLost;
  const square = -0.5 * a * a;
  const squareLost = -0.5 * b * (r + a);
  const main = sum + square;
  const r2 = r * r;
  const cubic = r * r2 * (POW_A3 + r * POW_A4 + r2 * (POW_A5 + r * POW_A6 + r2 * (POW_A7 + r * POW_A8)));
  const rest = sumLost + squareLost + (sum - main + square) + cubic;
  const high = main + rest;
  const low = main - high + rest;

  // Beyond 2^65 every power but that of 1 overflows or vanishes, and the splitting must not overflow.
  const power = Math.max(-(2 ** 65), Math.min(y, 2 ** 65));
  const powerHigh = power * SPLITTER - (power * SPLITTER - power);
  const logHigh = high * SPLITTER - (high * SPLITTER - high);
  const product = powerHigh * logHigh;
  const productLost = (power - powerHigh) * logHigh + power * (high - logHigh + low);

  const inside = product > -746 && product < 710;
  const e = inside ? product : product > 0 ? 710 : -746;
  const steps = e * EXP_STEPS_PER_UNIT + EXP_ROUNDER - EXP_ROUNDER;
  const d = e - steps * EXP_STEP_HIGH - steps * EXP_STEP_LOW + (inside ? productLost : 0);
  const n = steps | 0;
  const i = (n & EXP_MASK) * 2;
  const scale = EXP_TABLE[i + 1]!;
  const d2 = d * d;
  const p = d + (EXP_TABLE[i]! + d2 * (EXPM1_C2 + d * EXPM1_C3 + d2 * (EXPM1_C4 + d * EXPM1_C5)));
  const value = scale + scale * p;
  const m = n >> EXP_INDEX_BITS;
  return e < -700 ? value * powerOfTwo(m + 64) * 2 ** -64 : value * powerOfTwo(m - 1) * 2;
}
