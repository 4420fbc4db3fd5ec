import { Code } from "./code.ts";
import { crudeHazards } from "./crude-hazards.ts";
import { Elementary } from "./elementary.ts";
import { LogTables } from "./log-tables.ts";
import type { Functions } from "./module.ts";
import { Power } from "./power.ts";
import { pairsPerTurn, type Within, WithinRange } from "./within-range.ts";

/** A function of one number, or powers; those within range ask that their arguments be so, see `WithinRange`. */
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
  /** Powers within range of so many bases, see `WithinRange.powers`. */
  | `powers ${number}`
  /** The hazard of a crude incidence over so many years. */
  | `crude ${number}`;

const withinRange: ReadonlyMap<string, Within> = new Map<ArrayFunction, Within>([
  ["exp within range", { is: "exp" }],
  ["expm1 within range", { is: "expm1", signed: true, near: false }],
  ["expm1 within range, not 0", { is: "expm1", signed: false, near: false }],
  ["expm1 near 0", { is: "expm1", signed: true, near: true }],
  ["expm1 near 0, not 0", { is: "expm1", signed: false, near: true }],
]);

/**
 * Functions over arrays of pairs of lanes, in place: one short loop for each function, in which nothing waits for the
 * pair before and all constants stay in registers. Arguments: address of the first pair and of the end; then that of
 * the bases of powers, an array alike, or, of powers within range, those that `WithinRange.powers` asks for; with crude
 * incidences, those of the other hazards and of an array to work in.
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
    const code = name.startsWith("crude ")
      ? crudeHazards(Number(name.slice("crude ".length)), this.tablesAt)
      : this.loop(name);
    const number = this.functions.add(code.parameters, code);
    this.known.set(name, number);
    return number;
  }

  private loop(name: ArrayFunction): Code {
    if (name.startsWith("powers ")) {
      const bases = Number(name.slice("powers ".length));
      const code = new Code(1 + 2 * bases);
      new WithinRange(code, this.tablesAt).powers(bases);
      return code;
    }
    const code = new Code(name === "power" ? 3 : 2);
    const within = withinRange.get(name);
    if (within !== undefined) {
      new WithinRange(code, this.tablesAt).loops(within);
      return code;
    }
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
      default:
        throw new Error(`no such function: ${name}`);
    }
  }
}
