import * as E from "../../numerics/exp-table.ts";
import * as L from "../../numerics/log-table.ts";
import { powerOfTwo } from "../../numerics/power-of-two.ts";
import type { Code } from "./code.ts";

// Tables in the kernel's memory and their gathers; an index is masked before it is used, so that no bits of a value can
// reach outside.

const logIndexBits = 7;
const expBytes = E.EXP_ENTRIES * 16;
const logBytes = L.LOG_ENTRIES * 16;
const tailBytes = L.LOG_ENTRIES * 16;
const stepEntries = 1024;
const stepBytes = stepEntries * 16;

/** Where the table of steps near 0 begins, from the first table. */
export const stepTableAt = expBytes + logBytes + tailBytes;

/** Numbers less than this in size are less than 512 steps of ln(2)/256 from 0. */
export const nearZero = 1.38;

/** Bytes that the tables of exp, log, the logs' tails and of steps near 0 take in the kernel's memory. */
export const tableBytes = stepTableAt + stepBytes;

/**
 * Writes the tables at an address that is a multiple of 16: pairs of correction and scale (the scale's bits less its
 * index shifted to bit 44), pairs of 1/c and its log, the logs' tails, each twice, and for 512 steps up and down from 0
 pairs of correction and 2^(k/256) - 1.
 */
export function writeTables(memory: ArrayBufferLike, at: number): void {
  const doubles = new Float64Array(memory, at, tableBytes / 8);
  doubles.set(E.EXP_TABLE);
  doubles.set(L.LOG_TABLE, expBytes / 8);
  for (let j = 0; j < L.LOG_ENTRIES; j++)
    doubles.fill(L.LOG_TAIL[j]!, (expBytes + logBytes) / 8 + 2 * j, (expBytes + logBytes) / 8 + 2 * j + 2);
  for (let i = 0; i < stepEntries; i++) {
    const k = i < stepEntries / 2 ? i : i - stepEntries;
    const j = 2 * (k & (E.EXP_ENTRIES - 1));
    const at = stepTableAt / 8 + 2 * i;
    doubles[at] = E.EXP_TABLE[j]!;
    doubles[at + 1] = E.EXP_TABLE[j + 1]! * powerOfTwo(k >> 8) - 1;
  }
  const words = new BigInt64Array(memory, at, E.EXP_ENTRIES * 2);
  for (let j = 0; j < E.EXP_ENTRIES; j++) words[2 * j + 1]! -= BigInt(j) << 44n;
}

/** Emits gathers from the tables. */
export class LogTables {
  private readonly code: Code;
  private readonly at: number;

  constructor(code: Code, at: number) {
    this.code = code;
    this.at = at;
  }

  /** Pushes the 16-byte entries of both lanes that bits `shift` and up of a pattern choose. */
  private entries(pattern: number, mask: number, shift: number, table: number): void {
    const { code } = this;
    for (const lane of [0, 1] as const) {
      code.get(pattern);
      if (shift > 4) code.i32(shift - 4).lanes("shiftRight64");
      else code.i32(4 - shift).lanes("shiftLeft64");
      code
        .extract(lane)
        .i32(mask << 4)
        .integer("and")
        .load(this.at + table);
    }
  }

  private pairs(first: number, second: number): void {
    const { code } = this;
    code.set(second).set(first);
    code.get(first).get(second).unzip(0);
    code.get(first).get(second).unzip(1).set(second).set(first);
  }

  /** Sets correction and scale of exp for the low bits of a pattern. */
  expEntries(pattern: number, tail: number, scale: number): void {
    this.entries(pattern, E.EXP_ENTRIES - 1, 0, 0);
    this.pairs(tail, scale);
  }

  /** Sets 1/c and its log for bits 45 to 51 of a pattern, and the log's tail where asked for. */
  logEntries(pattern: number, reciprocal: number, log: number, tail?: number): void {
    this.entries(pattern, L.LOG_ENTRIES - 1, 52 - logIndexBits, expBytes);
    this.pairs(reciprocal, log);
    if (tail === undefined) return;
    this.entries(pattern, L.LOG_ENTRIES - 1, 52 - logIndexBits, expBytes + logBytes);
    // both halves of an entry are the same number
    this.code.unzip(0).set(tail);
  }
}
