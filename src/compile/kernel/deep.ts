import { log } from "../../numerics/log.ts";
import { byCycle } from "../graph.ts";
import type { ArrayFunction } from "./array-functions.ts";
import type { Lens } from "./lens.ts";
import { nearZero } from "./log-tables.ts";
import { within } from "./ranges.ts";
import { widest } from "./within-range.ts";

/**
 * A node that is computed over arrays, not in passing: which function does it, the node that its array takes, a second
 * one where the function has a second array, and the base of powers that share one.
 */
export interface Deep {
  readonly name: Exclude<ArrayFunction, `powers ${number}`> | "power within range" | `table ${number}`;
  readonly of: number;
  readonly beside: number | null;
  readonly base: number | null;
}

const deepOps: ReadonlySet<string> = new Set(["exp", "expm1", "log", "log1p", "power", "table", "crude"]);

/** How a node is computed over arrays, or null where it is computed in passing. */
export function deepForm(lens: Lens, number: number): Deep | null {
  const node = lens.op(number);
  if (!deepOps.has(node.op)) return null;
  const [first = 0, second = 0] = lens.operands(number);
  const one = (name: Deep["name"]): Deep => ({ name, of: first, beside: null, base: null });
  switch (node.op) {
    case "exp":
      return one(within(lens.range(first), -widest, widest) ? "exp within range" : "exp");
    case "expm1": {
      const range = lens.range(first);
      if (!within(range, -widest, widest)) return one("expm1");
      const signed = range.low <= 0 && range.high >= 0;
      if (within(range, -nearZero, nearZero)) return one(signed ? "expm1 near 0" : "expm1 near 0, not 0");
      return one(signed ? "expm1 within range" : "expm1 within range, not 0");
    }
    case "log":
    case "log1p":
      return one(node.op);
    case "power":
      return isPowerWithin(lens, first, second)
        ? { name: "power within range", of: second, beside: null, base: first }
        : { name: "power", of: second, beside: first, base: null };
    case "table":
      return { name: `table ${node.table}`, of: first, beside: second, base: null };
    case "crude":
      return { name: `crude ${node.years}`, of: first, beside: second, base: null };
    default:
      return null;
  }
}

/** True for powers of a positive base that is the same in all cycles, where nothing can overflow or vanish. */
function isPowerWithin(lens: Lens, base: number, exponent: number): boolean {
  const [x, y] = [lens.range(base), lens.range(exponent)];
  if ((lens.sight.axes[base]! & byCycle) !== 0) return false;
  if (!within(x, Number.MIN_VALUE, Number.MAX_VALUE) || !within(y, -(2 ** 64), 2 ** 64)) return false;
  const logarithm = Math.max(Math.abs(log(x.low)), Math.abs(log(x.high)));
  const power = Math.max(Math.abs(y.low), Math.abs(y.high));
  // of the product only the upper halves of its factors are looked up
  return logarithm * power * (1 + 2 ** -20) < widest;
}
