import { Code } from "./code.ts";
import { Elementary } from "./elementary.ts";
import { LogTables } from "./log-tables.ts";
import type { Functions } from "./module.ts";
import { Power } from "./power.ts";
import { WithinRange } from "./within-range.ts";

/** A function of one number, or a power; those within range ask that their arguments be so, see `WithinRange`. */
export type ArrayFunction =
  | "exp"
  | "expm1"
  | "log"
  | "log1p"
  | "power"
  | "exp within range"
  | "expm1 within range"
  | "expm1 within range, not 0"
  | "expm1 near 0"
  | "expm1 near 0, not 0"
  | "power within range";

/** Pairs of lanes that one turn of a loop takes: arrays must have room for a whole number of turns. */
export const pairsPerTurn = 4;

/**
 * Functions over arrays of pairs of lanes, in place: one short loop for each function, in which nothing waits for the
 * pair before and all constants stay in registers. Arguments: address of the first pair and of the end; then that of
 * the bases of powers, an array alike, or, within range, of the one split logarithm.
 */
export class ArrayFunctions {
  private readonly functions: Functions;
  private readonly tablesAt: number;
  private readonly known = new Map<ArrayFunction, number>();

  constructor(functions: Functions, tablesAt: number) {
    this.functions = functions;
    this.tablesAt = tablesAt;
  }

  /** The number of a function in the module. */
  number(name: ArrayFunction): number {
    const known = this.known.get(name);
    if (known !== undefined) return known;
    const number = this.functions.add(name.startsWith("power") ? 3 : 2, this.loop(name));
    this.known.set(name, number);
    return number;
  }

  private loop(name: ArrayFunction): Code {
    const code = new Code(name.startsWith("power") ? 3 : 2);
    const [from, to, more] = [0, 1, 2];
    const apply = this.body(name, code);
    code.loop(() => {
      for (let turn = 0; turn < pairsPerTurn; turn++) {
        const offset = 16 * turn;
        code.get(from);
        if (name === "power") code.get(more).load(offset);
        code.get(from).load(offset);
        apply();
        code.store(offset);
      }
      if (name === "power")
        code
          .get(more)
          .i32(16 * pairsPerTurn)
          .integer("add")
          .set(more);
      code
        .get(from)
        .i32(16 * pairsPerTurn)
        .integer("add")
        .tee(from)
        .get(to)
        .integer("lessUnsigned");
    });
    return code;
  }

  private body(name: ArrayFunction, code: Code): () => void {
    const tables = new LogTables(code, this.tablesAt);
    switch (name) {
      case "exp":
      case "expm1":
      case "log":
      case "log1p": {
        const elementary = new Elementary(code, tables);
        return () => elementary[name]();
      }
      case "power": {
        const power = new Power(code, tables);
        return () => power.power();
      }
      default: {
        const fast = new WithinRange(code, tables);
        if (name === "exp within range") return () => fast.exp();
        if (name === "power within range") return () => fast.power(2);
        return () => fast.expm1(!name.endsWith("not 0"), name.startsWith("expm1 near 0"));
      }
    }
  }
}
