import {
  EXP_C2,
  EXP_C3,
  EXP_C4,
  EXP_C5,
  EXP_ENTRIES,
  EXP_ROUNDER,
  EXP_STEP_HIGH,
  EXP_STEP_LOW,
  EXP_STEPS_PER_UNIT,
  EXP_TABLE,
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

/** 2^27 + 1: splits a double into two halves of 26 bits (Dekker 1971). */
const SPLITTER = 134217729;

/** 1.5 * 2^18: rounds r to a multiple of 2^-34, so that its square is exact. */
const SQUARE_ROUNDER = 393216;

/** x to the power y, special cases as in ECMAScript: pow(1, NaN) and pow(1, Infinity) are NaN, pow(NaN, 0) is 1. */
export function pow(x: number, y: number): number {
  if (y === 0) return 1;
  if (!(x - x === 0 && y - y === 0) || x === 0) return limit(x, y);
  let sign = 1;
  if (x < 0) {
    if (Math.floor(y) !== y) return NaN;
    if (isOdd(y)) sign = -1;
  }
  return sign * powerOfPositive(x < 0 ? -x : x, y);
}

function isOdd(y: number): boolean {
  const half = y * 0.5;
  return Math.floor(half) !== half;
}

/** pow where x is zero or one of x, y is not finite; y is not zero. */
function limit(x: number, y: number): number {
  if (x !== x || y !== y) return NaN;
  const size = x < 0 ? -x : x;
  if (y === Infinity || y === -Infinity) {
    if (size === 1) return NaN;
    return size > 1 === y > 0 ? Infinity : 0;
  }
  const odd = Math.floor(y) === y && isOdd(y);
  const result = (size === 0) === y > 0 ? 0 : Infinity;
  return odd && (x < 0 || 1 / x < 0) ? -result : result;
}

function powerOfPositive(x: number, y: number): number {
  const subnormal = x < 2 ** -1022;
  const normal = subnormal ? x * 2 ** 54 : x;
  const word = highWord(normal) + LOG_OFFSET;
  const k = (word >> 20) - 1023;
  const j = (word >> 13) & (LOG_ENTRIES - 1);
  const reciprocal = LOG_TABLE[2 * j]!;
  const z = normal * powerOfTwo(-k);
  const zh = z + LOG_ROUNDER - LOG_ROUNDER;
  const rh = zh * reciprocal - 1;
  const rl = (z - zh) * reciprocal;
  const r = rh + rl;
  const exponent = subnormal ? k - 54 : k;
  const w = exponent * LN2_HIGH + LOG_TABLE[2 * j + 1]!;
  // high + low becomes log x to about 68 bits: w + r first, then -r^2/2, then everything small.
  const high0 = w + r;
  const low0 = w - high0 + r + (exponent * LN2_LOW + LOG_TAIL[j]! + (rl - (r - rh)));
  const rs = r + SQUARE_ROUNDER - SQUARE_ROUNDER;
  const re = r - rs;
  const squareHigh = -0.5 * rs * rs;
  const squareLow = -0.5 * re * (r + rs);
  const high1 = high0 + squareHigh;
  const r2 = r * r;
  const cubic = r * r2 * (POW_A3 + r * POW_A4 + r2 * (POW_A5 + r * POW_A6 + r2 * (POW_A7 + r * POW_A8)));
  const low1 = low0 + squareLow + (high0 - high1 + squareHigh) + cubic;
  const high = high1 + low1;
  const low = high1 - high + low1;

  const power = y > 2 ** 65 ? 2 ** 65 : y < -(2 ** 65) ? -(2 ** 65) : y;
  const ys = power * SPLITTER - (power * SPLITTER - power);
  const hs = high * SPLITTER - (high * SPLITTER - high);
  const product = ys * hs;
  const rest = (power - ys) * hs + power * (high - hs + low);
  const inRange = product > -746 && product < 710;
  const e = inRange ? product : product > 0 ? 710 : -746;
  const steps = e * EXP_STEPS_PER_UNIT + EXP_ROUNDER - EXP_ROUNDER;
  const d = e - steps * EXP_STEP_HIGH - steps * EXP_STEP_LOW + (inRange ? rest : 0);
  const n = steps | 0;
  const i = (n & (EXP_ENTRIES - 1)) * 2;
  const scale = EXP_TABLE[i + 1]!;
  const d2 = d * d;
  const p = d + (EXP_TABLE[i]! + (d2 * (EXP_C2 + d * EXP_C3) + d2 * d2 * (EXP_C4 + d * EXP_C5)));
  const value = scale + scale * p;
  const m = n >> 7;
  return m < -1021 ? value * powerOfTwo(m + 64) * 2 ** -64 : value * powerOfTwo(m - 1) * 2;
}
