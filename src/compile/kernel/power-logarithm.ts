import * as L from "../../numerics/log-table.ts";
import type { Code } from "./code.ts";
import type { LogTables } from "./log-tables.ts";

const squareRounder = 393216;
const one = 0x3ff00000;

/** 2^27 + 1, which splits a double into two halves. */
export const splitter = 134217729;

/** Emits the logarithm of a power's base in two parts, in the order of operations of numerics/pow.ts. */
export class PowerLogarithm {
  private readonly code: Code;
  private readonly tables: LogTables;
  private readonly vectors: readonly number[];

  constructor(code: Code, tables: LogTables) {
    this.code = code;
    this.tables = tables;
    this.vectors = Array.from({ length: 18 }, () => code.local("v128"));
  }

  /** Sets `high` and `low` to the parts of log x for positive finite x; anything else gives numbers not to be used. */
  parts(x: number, high: number, low: number): void {
    const { code } = this;
    const [normal, small, pattern, field, k, v, entry, tail, rHigh, rLow, r, lost, sum, sumLost, a, b, main, square] =
      this.vectors as unknown as [
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
        number,
      ];
    const rest = normal;
    const get = (local: number): Code => code.get(local);
    const set = (local: number): Code => code.set(local);
    get(x)
      .constant(2 ** -1022)
      .lanes("less")
      .set(small);
    get(x)
      .constant(2 ** 54)
      .lanes("multiply")
      .get(x)
      .get(small)
      .lanes("select")
      .set(normal);
    get(normal).pattern(L.LOG_OFFSET, 0).lanes("add64").set(pattern);
    get(pattern).pattern(0x7ff00000, 0).lanes("and").pattern(one, 0).lanes("subtract64").set(field);
    get(pattern)
      .i32(52)
      .lanes("shiftRight64")
      .pattern(0x43300000, 0)
      .lanes("or")
      .constant(2 ** 52 + 1023)
      .lanes("subtract");
    code.constant(-54).get(small).lanes("and").lanes("add");
    set(k);
    this.tables.logEntries(pattern, v, entry, tail);
    get(normal).get(field).lanes("subtract64").set(a);
    get(a).constant(L.LOG_ROUNDER).lanes("add").constant(L.LOG_ROUNDER).lanes("subtract").set(b);
    get(b).get(v).lanes("multiply").constant(1).lanes("subtract").set(rHigh);
    get(a).get(b).lanes("subtract").get(v).lanes("multiply").set(rLow);
    get(rHigh).get(rLow).lanes("add").set(r);
    get(rLow).get(r).get(rHigh).lanes("subtract").lanes("subtract").set(lost);
    get(k).constant(L.LN2_HIGH).lanes("multiply").get(entry).lanes("add").set(main);
    get(main).get(r).lanes("add").set(sum);
    get(main).get(sum).lanes("subtract").get(r).lanes("add");
    get(k)
      .constant(L.LN2_LOW)
      .lanes("multiply")
      .get(tail)
      .lanes("add")
      .get(lost)
      .lanes("add")
      .lanes("add")
      .set(sumLost);
    get(r).constant(squareRounder).lanes("add").constant(squareRounder).lanes("subtract").set(a);
    get(r).get(a).lanes("subtract").get(lost).lanes("add").set(b);
    code.constant(-0.5).get(a).lanes("multiply").get(a).lanes("multiply").set(square);
    // -b/2 (r + a), kept in `low` until it is needed
    code.constant(-0.5).get(b).lanes("multiply").get(r).get(a).lanes("add").lanes("multiply").set(low);
    get(sum).get(square).lanes("add").set(main);
    get(r).get(r).lanes("multiply").set(rest);
    get(r).get(rest).lanes("multiply");
    code.constant(L.POW_A3).get(r).constant(L.POW_A4).lanes("multiply").lanes("add");
    get(rest).constant(L.POW_A5).get(r).constant(L.POW_A6).lanes("multiply").lanes("add");
    get(rest)
      .constant(L.POW_A7)
      .get(r)
      .constant(L.POW_A8)
      .lanes("multiply")
      .lanes("add")
      .lanes("multiply")
      .lanes("add");
    code.lanes("multiply").lanes("add").lanes("multiply").set(b);
    get(sumLost)
      .get(low)
      .lanes("add")
      .get(sum)
      .get(main)
      .lanes("subtract")
      .get(square)
      .lanes("add")
      .lanes("add")
      .get(b)
      .lanes("add")
      .set(rest);
    get(main).get(rest).lanes("add").set(high);
    get(main).get(high).lanes("subtract").get(rest).lanes("add").set(low);
  }

  /**
   * From a positive finite base on top leaves, the second on top, what `WithinRange.power` reads: the upper half of the
   * high part, and the sum of its lower half and the low part.
   */
  split(): void {
    const { code } = this;
    const [x, high, low, upper] = [0, 1, 2, 3].map(() => code.local("v128")) as [number, number, number, number];
    code.set(x);
    this.parts(x, high, low);
    code.get(high).constant(splitter).lanes("multiply").tee(upper);
    code.get(upper).get(high).lanes("subtract").lanes("subtract").tee(upper);
    code.get(high).get(upper).lanes("subtract").get(low).lanes("add");
  }
}
