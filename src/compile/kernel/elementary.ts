import * as E from "../../numerics/exp-table.ts";
import * as L from "../../numerics/log-table.ts";
import type { Code } from "./code.ts";
import type { LogTables } from "./log-tables.ts";

// The lane forms that the docstrings of numerics/exp.ts and numerics/log.ts describe, in the same order of operations,
// so that both lanes hold the bits the scalar functions give.

const one = 0x3ff00000;

/** Emits elementary functions of two lanes; locals for their intermediate values are made once and used again. */
export class Elementary {
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

  /** Clamps the vector on top: NaN passes. */
  private clamp(low: number, high: number): void {
    this.code.constant(high).lanes("lower").constant(low).lanes("higher");
  }

  /** From x on top: sets clamped, the bits that hold k, r, tail and scale entry. */
  private reduce(low: number): {
    readonly clamped: number;
    readonly pattern: number;
    readonly r: number;
    readonly tail: number;
    readonly scale: number;
    readonly r2: number;
  } {
    const { code } = this;
    const [clamped, pattern, steps, r, tail, scale, r2] = [0, 1, 2, 3, 4, 5, 6].map((i) => this.vector(i)) as [
      number,
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    this.clamp(low, 710);
    code
      .tee(clamped)
      .constant(E.EXP_STEPS_PER_UNIT)
      .lanes("multiply")
      .constant(E.EXP_ROUNDER)
      .lanes("add")
      .tee(pattern);
    code.constant(E.EXP_ROUNDER).lanes("subtract").set(steps);
    code.get(clamped).get(steps).constant(E.EXP_STEP_HIGH).lanes("multiply").lanes("subtract");
    code.get(steps).constant(E.EXP_STEP_LOW).lanes("multiply").lanes("subtract").set(r);
    this.tables.expEntries(pattern, tail, scale);
    code.get(r).get(r).lanes("multiply").set(r2);
    return { clamped, pattern, r, tail, scale, r2 };
  }

  /** e to the power of the vector on top. */
  exp(): void {
    const { code } = this;
    const { clamped, pattern, r, tail, scale, r2 } = this.reduce(-746);
    const [small, full] = [this.vector(7), this.vector(8)];
    code.get(clamped).constant(-700).lanes("less").set(small);
    // the exponent: k div 256, less 1, or plus 64 where the result may be subnormal
    code
      .get(scale)
      .get(pattern)
      .i32(44)
      .lanes("shiftLeft64")
      .lanes("add64")
      .pattern(-1 << 20, 0)
      .lanes("add64");
    code
      .get(small)
      .pattern(65 << 20, 0)
      .lanes("and")
      .lanes("add64")
      .set(full);
    code.get(full);
    code.get(full).get(r).get(tail).get(r2);
    code.constant(E.EXP_C2).get(r).constant(E.EXP_C3).lanes("multiply").lanes("add");
    code.get(r2).constant(E.EXP_C4).lanes("multiply").lanes("add");
    code.lanes("multiply").lanes("add").lanes("add").lanes("multiply").lanes("add");
    code
      .constant(2 ** -64)
      .constant(2)
      .get(small)
      .lanes("select")
      .lanes("multiply");
  }

  /** e to the power of the vector on top, less 1. */
  expm1(): void {
    const { code } = this;
    const x = this.vector(9);
    code.tee(x);
    const { pattern, r, tail, scale, r2 } = this.reduce(-50);
    const [half, q, a, b, high] = [7, 8, 10, 11, 12].map((i) => this.vector(i)) as [
      number,
      number,
      number,
      number,
      number,
    ];
    code
      .get(scale)
      .get(pattern)
      .i32(44)
      .lanes("shiftLeft64")
      .lanes("add64")
      .pattern(-1 << 20, 0)
      .lanes("add64")
      .set(half);
    code.get(tail).get(tail).get(r).lanes("multiply").lanes("add");
    code.get(r2).constant(E.EXPM1_C2).get(r).constant(E.EXPM1_C3).lanes("multiply").lanes("add");
    code
      .get(r2)
      .constant(E.EXPM1_C4)
      .get(r)
      .constant(E.EXPM1_C5)
      .lanes("multiply")
      .lanes("add")
      .lanes("multiply")
      .lanes("add");
    code.lanes("multiply").lanes("add").set(q);
    code.get(half).constant(0.5).lanes("subtract").set(a);
    code.constant(0.5).get(r).lanes("multiply").set(b);
    code.get(a).get(b).lanes("add").set(high);
    code.get(high).get(a).get(high).lanes("subtract").get(b).lanes("add");
    code
      .constant(0.5)
      .get(q)
      .lanes("multiply")
      .get(a)
      .get(r)
      .get(q)
      .lanes("add")
      .lanes("multiply")
      .lanes("add")
      .lanes("add")
      .lanes("add");
    code.constant(2).lanes("multiply");
    // a tiny argument comes back as it is
    code
      .get(x)
      .lanes("absolute")
      .constant(2 ** -54)
      .lanes("less")
      .set(half);
    code.set(q).get(x).get(q).get(half).lanes("select");
  }

  /** From u (positive, normal) in a local, what rounding lost of it (or none) and a shift of the exponent: log u. */
  private logCore(u: number, lost: number | null, shift: number | null): void {
    const { code } = this;
    const [pattern, field, z, zLow, v, entry, k, rHigh, rLow, r, w, high] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12].map(
      (i) => this.vector(i),
    ) as [number, number, number, number, number, number, number, number, number, number, number, number];
    code.get(u).pattern(L.LOG_OFFSET, 0).lanes("add64").set(pattern);
    code.get(pattern).pattern(0x7ff00000, 0).lanes("and").pattern(one, 0).lanes("subtract64").set(field);
    code
      .get(pattern)
      .i32(52)
      .lanes("shiftRight64")
      .pattern(0x43300000, 0)
      .lanes("or")
      .constant(2 ** 52 + 1023)
      .lanes("subtract");
    if (shift !== null) code.get(shift).lanes("add");
    code.set(k);
    this.tables.logEntries(pattern, v, entry);
    code.get(u).get(field).lanes("subtract64").set(z);
    code.get(z).constant(L.LOG_ROUNDER).lanes("add").constant(L.LOG_ROUNDER).lanes("subtract").set(rHigh);
    code.get(z).get(rHigh).lanes("subtract");
    if (lost !== null)
      code
        .get(lost)
        .pattern(one, 0)
        .get(field)
        .lanes("subtract64")
        .lanes("multiply")
        .get(this.vector(13))
        .lanes("and")
        .lanes("add");
    code.set(zLow);
    code.get(rHigh).get(v).lanes("multiply").constant(1).lanes("subtract").set(rHigh);
    code.get(zLow).get(v).lanes("multiply").set(rLow);
    code.get(rHigh).get(rLow).lanes("add").set(r);
    code.get(k).constant(L.LN2_HIGH).lanes("multiply").get(entry).lanes("add").set(w);
    code.get(w).get(rHigh).lanes("add").set(high);
    code.get(high);
    code
      .get(w)
      .get(high)
      .lanes("subtract")
      .get(rHigh)
      .lanes("add")
      .get(k)
      .constant(L.LN2_LOW)
      .lanes("multiply")
      .lanes("add");
    code.get(rLow);
    code.get(r).get(r).lanes("multiply").tee(zLow);
    code.constant(-0.5).get(r).constant(L.LOG_A3).lanes("multiply").lanes("add");
    code.get(zLow).constant(L.LOG_A4).get(r).constant(L.LOG_A5).lanes("multiply").lanes("add");
    code.get(zLow).constant(L.LOG_A6).lanes("multiply").lanes("add").lanes("multiply").lanes("add");
    code.lanes("multiply").lanes("add").lanes("add").lanes("add");
  }

  /** Replaces the value on top for special arguments of a logarithm. */
  private special(x: number, lowest: number): void {
    const { code } = this;
    const value = this.vector(0);
    code.set(value);
    // x above the lowest: the value, or x itself at Infinity; at the lowest -Infinity; below it, or NaN, NaN
    code.get(value).get(x).get(x).constant(Number.POSITIVE_INFINITY).lanes("less").lanes("select");
    code.constant(Number.NEGATIVE_INFINITY).constant(Number.NaN).get(x).constant(lowest).lanes("equal").lanes("select");
    code.get(x).constant(lowest).lanes("greater").lanes("select");
  }

  /** Natural logarithm of the vector on top. */
  log(): void {
    const { code } = this;
    const [x, u, shift, small] = [9, 14, 15, 16].map((i) => this.vector(i)) as [number, number, number, number];
    code
      .tee(x)
      .constant(2 ** -1022)
      .lanes("less")
      .set(small);
    code
      .get(x)
      .constant(2 ** 54)
      .lanes("multiply")
      .get(x)
      .get(small)
      .lanes("select")
      .set(u);
    code.constant(-54).get(small).lanes("and").set(shift);
    this.logCore(u, null, shift);
    this.special(x, 0);
  }

  /** Natural logarithm of 1 plus the vector on top. */
  log1p(): void {
    const { code } = this;
    const [x, u, b, lost] = [9, 14, 15, 16].map((i) => this.vector(i)) as [number, number, number, number];
    code.tee(x).constant(1).lanes("add").set(u);
    code.get(u).constant(1).lanes("subtract").set(b);
    code
      .constant(1)
      .get(u)
      .get(b)
      .lanes("subtract")
      .lanes("subtract")
      .get(x)
      .get(b)
      .lanes("subtract")
      .lanes("add")
      .set(lost);
    code
      .get(x)
      .constant(2 ** 60)
      .lanes("less")
      .set(this.vector(13));
    this.logCore(u, lost, null);
    this.special(x, -1);
    code
      .set(u)
      .get(x)
      .get(u)
      .get(x)
      .lanes("absolute")
      .constant(2 ** -54)
      .lanes("less")
      .lanes("select");
  }
}
