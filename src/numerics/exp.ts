import {
  EXP_C2,
  EXP_C3,
  EXP_C4,
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
import { powerOfTwo } from "./power-of-two.ts";

/** Steps are counted in 256ths of ln 2: the low eight bits choose the table entry, the rest are the exponent. */
const INDEX_BITS = 8;
const INDEX_MASK = EXP_ENTRIES - 1;

/**
 * e to the power x, the same bits on every machine.
 *
 * Above 709.78 the result is Infinity, below -745.14 it is zero, between -708.40 and there it loses bits gradually as
 * IEEE 754 asks; NaN stays NaN.
 *
 * Accuracy: at most 0.55 units in the last place (0.547 measured), 0.78 where the result is subnormal
 * (0.770 measured).
 *
 * Algorithm: x = k ln(2)/256 + r; a table gives 2^(j/256), j = k mod 256, as a double s and a correction t; a cubic in r
 * that is added to r gives exp(r) - 1 to 2^-57; the exponent k div 256 is applied last and is exact.
 *
 * For lanes, the same bits without branches: the low bits of x * EXP_STEPS_PER_UNIT + EXP_ROUNDER hold k. Mask the
 * lowest eight for j. Shift left by 44, with (j << 44) taken from the entry's bits beforehand, to put k div 256 on the
 * exponent; add 64 to it where x < -700 and subtract 1 elsewhere; multiply at the end by 2^-64 or 2. NaN passes through
 * the clamps if they select the bound only where a comparison holds.
 *
 * Source: Tang 1989 (cited in exp-table.ts); only + - * and a table are used.
 *
 * @example
 * exp(1); // 2.718281828459045
 */
export function exp(x: number): number {
  const clamped = Math.max(-746, Math.min(x, 710));
  const steps = clamped * EXP_STEPS_PER_UNIT + EXP_ROUNDER - EXP_ROUNDER;
  const r = clamped - steps * EXP_STEP_HIGH - steps * EXP_STEP_LOW;
  const k = steps | 0;
  const j = (k & INDEX_MASK) * 2;
  const scale = EXP_TABLE[j + 1]!;
  const r2 = r * r;
  const p = r + (EXP_TABLE[j]! + r2 * (EXP_C2 + r * EXP_C3 + r2 * EXP_C4));
  const y = scale + scale * p;
  const m = k >> INDEX_BITS;
  return clamped < -700 ? y * powerOfTwo(m + 64) * 2 ** -64 : y * powerOfTwo(m - 1) * 2;
}

/**
 * exp(x) - 1 without cancellation near zero, the same bits on every machine.
 *
 * Above 709.78 the result is Infinity, below about -37.4 it is -1; NaN stays NaN. Below 2^-54 in size the argument comes
 * back, so the sign of zero and subnormals are kept.
 *
 * Accuracy: at most 1.01 units in the last place (1.002 measured).
 *
 * Algorithm: as `exp`, with S = 2^(k/256) = s (1 + t) and p = exp(r) - 1, so that the result is (S - 1) + p + (S - 1) p;
 * S - 1 and r are added by Fast2Sum, as they may cancel to half. All is computed halved, so that S cannot overflow.
 *
 * For lanes: as `exp` with the clamp at -50, so that no exponent leaves the range; select x itself where |x| < 2^-54.
 *
 * Source: Tang, ACM Trans Math Softw 1992;18:211-222 (table-driven expm1); Fast2Sum: Dekker, Numer Math 1971;18:224-242.
 *
 * @example
 * expm1(1e-20); // 1e-20
 */
export function expm1(x: number): number {
  if (x < 2 ** -54 && x > -(2 ** -54)) return x;
  const clamped = Math.max(-50, Math.min(x, 710));
  const steps = clamped * EXP_STEPS_PER_UNIT + EXP_ROUNDER - EXP_ROUNDER;
  const r = clamped - steps * EXP_STEP_HIGH - steps * EXP_STEP_LOW;
  const k = steps | 0;
  const j = (k & INDEX_MASK) * 2;
  const tail = EXP_TABLE[j]!;
  const half = EXP_TABLE[j + 1]! * powerOfTwo((k >> INDEX_BITS) - 1);
  const r2 = r * r;
  const q = tail + tail * r + r2 * (EXPM1_C2 + r * EXPM1_C3 + r2 * (EXPM1_C4 + r * EXPM1_C5));
  const a = half - 0.5;
  const b = 0.5 * r;
  const high = a + b;
  return (high + (a - high + b + (0.5 * q + a * (r + q)))) * 2;
}
