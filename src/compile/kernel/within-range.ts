import * as E from "../../numerics/exp-table.ts";
import type { Code } from "./code.ts";
import type { LogTables } from "./log-tables.ts";

/** Where `WithinRange` may be used: an argument, or the logarithm of a power, is at most this in size and not NaN. */
export const widest = 690;

/**
 * Emits functions of two lanes that are known to lie where nothing overflows or vanishes: the bits of `Elementary`, at
 * little more than half the instructions. A power of two is put on the table's entry at once, which commutes with
 * rounding there, and no clamp or special case is left.
 */
export class WithinRange {
  private readonly code: Code;
  private readonly tables: LogTables;
  private readonly vectors: number[] = [];

  constructor(code: Code, tables: LogTables) {
    this.code = code;
    this.tables = tables;
  }

  private vector(index: number): number {
    while (this.vectors.length <= index) this.vectors.push(this.code.local("v128"));
    return this.vectors[index]!;
  }

  /** e to the power of the vector on top. */
  exp(): void {
    const { code } = this;
    const { pattern, r, square } = this.reduced();
    const [tail, full] = [this.vector(5), this.vector(6)];
    this.fullEntries(pattern, tail, full);
    code.get(full).get(full).get(r).get(tail).get(square);
    code.constant(E.EXP_C2).get(r).constant(E.EXP_C3).lanes("multiply").lanes("add");
    code.get(square).constant(E.EXP_C4).lanes("multiply").lanes("add");
    code.lanes("multiply").lanes("add").lanes("add").lanes("multiply").lanes("add");
  }

  /**
   * e to the power of the vector on top, less 1. `signed` where it may be a zero, whose sign must be kept; `near` where it
   * is less than `nearZero` in size, so that 2^(k/256) - 1 stands in a table.
   */
  expm1(signed: boolean, near: boolean): void {
    const { code } = this;
    const [tail, full, q, high, x] = [5, 6, 7, 8, 9].map((i) => this.vector(i)) as [
      number,
      number,
      number,
      number,
      number,
    ];
    if (signed) code.tee(x);
    const { pattern, r, square } = this.reduced();
    if (near) this.tables.stepEntries(pattern, tail, full);
    else {
      this.fullEntries(pattern, tail, full);
      code.get(full).constant(1).lanes("subtract").set(full);
    }
    code.get(tail).get(tail).get(r).lanes("multiply").lanes("add");
    code.get(square);
    this.longTail(r, square);
    code.lanes("multiply").lanes("add").set(q);
    code.get(full).get(r).lanes("add").set(high);
    code.get(high);
    code.get(full).get(high).lanes("subtract").get(r).lanes("add");
    code.get(q).get(full).get(r).get(q).lanes("add").lanes("multiply").lanes("add");
    code.lanes("add").lanes("add");
    if (!signed) return;
    code.get(x).pattern(0x80000000, 0).lanes("and").lanes("or");
  }

  /**
   * A power: its exponent on top, the split logarithm of its base (as `Power.logarithm` leaves it) in memory at the
   * address in a local.
   */
  power(logarithm: number): void {
    const { code } = this;
    const [tail, full, y, yHigh, lost] = [5, 6, 7, 8, 9].map((i) => this.vector(i)) as [
      number,
      number,
      number,
      number,
      number,
    ];
    const splitter = 134217729;
    code.set(y);
    code.get(y).constant(splitter).lanes("multiply").tee(yHigh).get(yHigh).get(y).lanes("subtract").lanes("subtract");
    code.set(yHigh);
    code.get(y).get(yHigh).lanes("subtract").get(logarithm).load(0).lanes("multiply");
    code.get(y).get(logarithm).load(16).lanes("multiply").lanes("add").set(lost);
    code.get(yHigh).get(logarithm).load(0).lanes("multiply");
    const { pattern, r, square } = this.reduced(lost);
    this.fullEntries(pattern, tail, full);
    code.get(full).get(full).get(r).get(tail).get(square);
    this.longTail(r, square);
    code.lanes("multiply").lanes("add").lanes("add").lanes("multiply").lanes("add");
  }

  /** C2 + C3 r + r^2 (C4 + C5 r). */
  private longTail(r: number, square: number): void {
    const { code } = this;
    code.constant(E.EXPM1_C2).get(r).constant(E.EXPM1_C3).lanes("multiply").lanes("add");
    code.get(square);
    code.constant(E.EXPM1_C4).get(r).constant(E.EXPM1_C5).lanes("multiply").lanes("add");
    code.lanes("multiply").lanes("add");
  }

  /** From x on top: the bits that hold k, the rest r and its square; `lost` is added to the rest. */
  private reduced(lost?: number): { readonly pattern: number; readonly r: number; readonly square: number } {
    const { code } = this;
    const [x, pattern, steps, r, square] = [0, 1, 2, 3, 4].map((i) => this.vector(i)) as [
      number,
      number,
      number,
      number,
      number,
    ];
    code.tee(x).constant(E.EXP_STEPS_PER_UNIT).lanes("multiply").constant(E.EXP_ROUNDER).lanes("add").set(pattern);
    code.get(pattern).constant(E.EXP_ROUNDER).lanes("subtract").set(steps);
    code.get(x).get(steps).constant(E.EXP_STEP_HIGH).lanes("multiply").lanes("subtract");
    code.get(steps).constant(E.EXP_STEP_LOW).lanes("multiply").lanes("subtract");
    if (lost !== undefined) code.get(lost).lanes("add");
    code.set(r);
    code.get(r).get(r).lanes("multiply").set(square);
    return { pattern, r, square };
  }

  /** Sets the entry's tail, and 2^(k/256) in full. */
  private fullEntries(pattern: number, tail: number, full: number): void {
    this.tables.expEntries(pattern, tail, full);
    this.code.get(full).get(pattern).i32(44).lanes("shiftLeft64").lanes("add64").set(full);
  }
}
