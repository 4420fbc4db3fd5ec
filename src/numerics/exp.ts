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
import { powerOfTwo } from "./power-of-two.ts";

const MASK = EXP_ENTRIES - 1;
const SHIFT = 7;

/** e to the power x, the same bits on every machine; overflow is Infinity, underflow gradual. */
export function exp(x: number): number {
  const clamped = x < -746 ? -746 : x > 710 ? 710 : x;
  const steps = clamped * EXP_STEPS_PER_UNIT + EXP_ROUNDER - EXP_ROUNDER;
  const r = clamped - steps * EXP_STEP_HIGH - steps * EXP_STEP_LOW;
  const k = steps | 0;
  const j = (k & MASK) * 2;
  const scale = EXP_TABLE[j + 1]!;
  const r2 = r * r;
  const p = r + (EXP_TABLE[j]! + (r2 * (EXP_C2 + r * EXP_C3) + r2 * r2 * (EXP_C4 + r * EXP_C5)));
  const y = scale + scale * p;
  const m = k >> SHIFT;
  return m < -1021 ? y * powerOfTwo(m + 64) * 2 ** -64 : y * powerOfTwo(m - 1) * 2;
}

/** exp(x) - 1 without cancellation near zero; keeps the sign of zero. */
export function expm1(x: number): number {
  if (x < 2 ** -54 && x > -(2 ** -54)) return x;
  const clamped = x < -50 ? -50 : x > 710 ? 710 : x;
  const steps = clamped * EXP_STEPS_PER_UNIT + EXP_ROUNDER - EXP_ROUNDER;
  const r = clamped - steps * EXP_STEP_HIGH - steps * EXP_STEP_LOW;
  const k = steps | 0;
  const j = (k & MASK) * 2;
  const half = EXP_TABLE[j + 1]! * powerOfTwo((k >> SHIFT) - 1);
  const r2 = r * r;
  const p = r + (EXP_TABLE[j]! + (r2 * (EXP_C2 + r * EXP_C3) + r2 * r2 * (EXP_C4 + r * EXP_C5)));
  return (half - 0.5 + half * p) * 2;
}
