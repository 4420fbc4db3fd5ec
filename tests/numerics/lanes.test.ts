import { describe, expect, test } from "vitest";
import { exp, expm1 } from "../../src/numerics/exp.ts";
import * as E from "../../src/numerics/exp-table.ts";
import { log, log1p } from "../../src/numerics/log.ts";
import * as L from "../../src/numerics/log-table.ts";

// The branch-free forms that the docstrings promise for lanes, written with whole 64-bit patterns as a kernel has them.
const view = new DataView(new ArrayBuffer(8));
const bits = (x: number) => {
  view.setFloat64(0, x);
  return view.getBigUint64(0);
};
const double = (pattern: bigint) => {
  view.setBigUint64(0, BigInt.asUintN(64, pattern));
  return view.getFloat64(0);
};
const fieldOfOne = 1023n << 52n;
const fields = 0x7ffn << 52n;

/** s 2^(k div 256) times 2^lift, from table entry j = k mod 256 and the bits of the sum that rounded k. */
function scaled(pattern: bigint, lift: bigint): number {
  const j = Number(pattern & 255n);
  const entry = bits(E.EXP_TABLE[2 * j + 1]!) - (BigInt(j) << 44n);
  return double(entry + (pattern << 44n) + (lift << 52n));
}

function expLane(x: number): number {
  const clamped = Math.max(-746, Math.min(x, 710));
  const rounded = clamped * E.EXP_STEPS_PER_UNIT + E.EXP_ROUNDER;
  const steps = rounded - E.EXP_ROUNDER;
  const r = clamped - steps * E.EXP_STEP_HIGH - steps * E.EXP_STEP_LOW;
  const small = x < -700;
  const scale = scaled(bits(rounded), small ? 64n : -1n);
  const tail = E.EXP_TABLE[2 * Number(bits(rounded) & 255n)]!;
  const r2 = r * r;
  const p = r + (tail + r2 * (E.EXP_C2 + r * E.EXP_C3 + r2 * E.EXP_C4));
  return (scale + scale * p) * (small ? 2 ** -64 : 2);
}

function expm1Lane(x: number): number {
  const clamped = Math.max(-50, Math.min(x, 710));
  const rounded = clamped * E.EXP_STEPS_PER_UNIT + E.EXP_ROUNDER;
  const steps = rounded - E.EXP_ROUNDER;
  const r = clamped - steps * E.EXP_STEP_HIGH - steps * E.EXP_STEP_LOW;
  const half = scaled(bits(rounded), -1n);
  const tail = E.EXP_TABLE[2 * Number(bits(rounded) & 255n)]!;
  const r2 = r * r;
  const q = tail + tail * r + r2 * (E.EXPM1_C2 + r * E.EXPM1_C3 + r2 * (E.EXPM1_C4 + r * E.EXPM1_C5));
  const a = half - 0.5;
  const b = 0.5 * r;
  const high = a + b;
  const value = (high + (a - high + b + (0.5 * q + a * (r + q)))) * 2;
  return Math.abs(x) < 2 ** -54 ? x : value;
}

/** log(u + lost) + shift ln 2 for positive normal u. */
function logCore(u: number, lost: number, keep: boolean, shift: number): number {
  const pattern = bits(u) + (BigInt(L.LOG_OFFSET) << 32n);
  const field = (pattern & fields) - fieldOfOne;
  const k = double((0x433n << 52n) | (pattern >> 52n)) - (2 ** 52 + 1023) + shift;
  const j = Number((pattern >> 45n) & 127n);
  const v = L.LOG_TABLE[2 * j]!;
  const z = double(bits(u) - field);
  const zHigh = z + L.LOG_ROUNDER - L.LOG_ROUNDER;
  const zLow = z - zHigh + (keep ? lost * double(fieldOfOne - field) : 0);
  const rHigh = zHigh * v - 1;
  const rLow = zLow * v;
  const r = rHigh + rLow;
  const w = k * L.LN2_HIGH + L.LOG_TABLE[2 * j + 1]!;
  const high = w + rHigh;
  const low = w - high + rHigh + k * L.LN2_LOW;
  const r2 = r * r;
  const q = r2 * (-0.5 + r * L.LOG_A3 + r2 * (L.LOG_A4 + r * L.LOG_A5 + r2 * L.LOG_A6));
  return high + (low + (rLow + q));
}

function logLane(x: number): number {
  const small = x < 2 ** -1022;
  const value = logCore(small ? x * 2 ** 54 : x, 0, false, small ? -54 : 0);
  return x > 0 && x < Infinity ? value : x === 0 ? -Infinity : x > 0 ? x : Number.NaN;
}

function log1pLane(x: number): number {
  const u = 1 + x;
  const b = u - 1;
  const value = logCore(u, 1 - (u - b) + (x - b), x < 2 ** 60, 0);
  const inside = x > -1 && x < Infinity ? value : x === -1 ? -Infinity : x > 0 ? x : Number.NaN;
  return Math.abs(x) < 2 ** -54 ? x : inside;
}

/** Random patterns, so every exponent occurs, then ordinary sizes, then edges. */
function* sample(): Generator<number> {
  let state = 1;
  const word = () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return Math.imul(state ^ (state >>> 15), 0x735a2d97) >>> 0;
  };
  for (let n = 0; n < 20000; n++) yield double((BigInt(word()) << 32n) | BigInt(word()));
  for (let n = 0; n < 20000; n++) yield (word() / 2 ** 32 - 0.5) * 2 ** ((n % 64) - 52);
  for (let n = 0; n < 20000; n++) yield 1 + (word() / 2 ** 32 - 0.5) * 2 ** -((n % 50) + 1);
  for (let n = 0; n < 20000; n++) yield (word() / 2 ** 32) * 1500 - 750;
  const { MAX_VALUE, MIN_VALUE, EPSILON } = Number;
  const edges = [0, 1, MIN_VALUE, MAX_VALUE, Infinity, 2 ** -1022, 2 ** 60, 2 ** -54, EPSILON, 745.2, 709.79, 700, 710];
  for (const edge of edges) yield* [edge, -edge, edge - 1, 1 - edge];
  yield Number.NaN;
}

describe("branch-free lane form", () => {
  test.each([
    ["exp", exp, expLane],
    ["expm1", expm1, expm1Lane],
    ["log", log, logLane],
    ["log1p", log1p, log1pLane],
  ] as const)("of %s gives the same bits", (_, scalar, lane) => {
    const different: number[] = [];
    for (const x of sample()) if (!Object.is(scalar(x), lane(x))) different.push(x);
    expect(different).toEqual([]);
  });
});
