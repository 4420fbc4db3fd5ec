import { crudeHazard } from "../numerics/crude-incidence.ts";
import type { Binary, Unary } from "./bound.ts";
import { lookUp } from "./look-up.ts";
import { apply } from "./operators.ts";
import type { Table } from "./program.ts";

/** What a value varies with, as bits: the row of inputs, the population group, the cycle. 0 is a constant. */
export const byDraw = 1;
/** See `byDraw`. */
export const byGroup = 2;
/** See `byDraw`. */
export const byCycle = 4;

/** What the engine demands of a value before it is used. */
export type Demand =
  /** A finite number: an amount, a price. */
  | "finite"
  /** Finite and not negative: a yearly rate, a crude incidence. */
  | "rate"
  /** 0 to 1 (and 1e-12): a chance, a share of the starters. */
  | "chance"
  /** At least -1e-12: what the branches of an event leave of 1. */
  | "left"
  /** 1, within 1e-9: the sum of the shares of the starters. */
  | "whole"
  /** 0: nothing asked for beyond the rows of a table. */
  | "inside";

/** A value in the graph; operands are numbers of earlier nodes. */
export type GraphNode =
  | { readonly op: "constant"; readonly value: number }
  /** A component of the row of inputs. */
  | { readonly op: "component"; readonly component: number }
  /** An attribute of the group: a number or the index of a level. */
  | { readonly op: "attribute"; readonly attribute: number }
  /** Number of the cycle; years since the start where its formulas hold; years since the start at its opening. */
  | { readonly op: "cycle" | "time" | "opening" }
  | { readonly op: Unary | "not"; readonly of: number }
  | { readonly op: Binary; readonly left: number; readonly right: number }
  /** Both sides are evaluated and one is selected, so a hostile value of the other does not matter. */
  | { readonly op: "if"; readonly test: number; readonly yes: number; readonly no: number }
  | { readonly op: "table"; readonly table: number; readonly at: number; readonly row: number }
  /** The hazard of a crude incidence over `years` beside other hazards a year; see `crudeHazard`. */
  | { readonly op: "crude"; readonly incidence: number; readonly others: number; readonly years: number }
  /** The value itself where it meets the demand, else 0 with a note to whoever evaluates. */
  | { readonly op: "guard"; readonly demand: Demand; readonly of: number };

/** Numbers of the nodes directly under one. */
export function operands(node: GraphNode): readonly number[] {
  switch (node.op) {
    case "constant":
    case "component":
    case "attribute":
    case "cycle":
    case "time":
    case "opening":
      return [];
    case "if":
      return [node.test, node.yes, node.no];
    case "table":
      return [node.at, node.row];
    case "crude":
      return [node.incidence, node.others];
    default:
      return "of" in node ? [node.of] : [node.left, node.right];
  }
}

const { MAX_VALUE, POSITIVE_INFINITY } = Number;

/** The least and the greatest value that meet each demand. */
export const ranges: Readonly<Record<Demand, readonly [low: number, high: number]>> = {
  finite: [-MAX_VALUE, MAX_VALUE],
  rate: [0, MAX_VALUE],
  chance: [0, 1 + 1e-12],
  left: [-1e-12, POSITIVE_INFINITY],
  whole: [1 - 1e-9, 1 + 1e-9],
  inside: [0, 0],
};

/** Whether a value meets a demand. NaN meets none. */
export function meets(demand: Demand, value: number): boolean {
  const [low, high] = ranges[demand];
  return value >= low && value <= high;
}

/** Operators whose two sides may change places without changing a bit. */
const commutative: ReadonlySet<string> = new Set(["add", "multiply", "equal", "unequal", "and", "or"]);

/**
 * Expressions in which equal parts are one node: operands come before what is made of them, so ascending numbers are an
 * order of evaluation. Constants are folded with the operators of the language; multiplying or dividing by 1, which
 * changes no bit, is left out; nothing else is rearranged, so every value has the bits of the referee's.
 */
export class Graph {
  readonly nodes: GraphNode[] = [];
  /** Per node, the bits of what it varies with. */
  readonly axes: number[] = [];
  private readonly tables: readonly Table[];
  private readonly known = new Map<string, number>();

  constructor(tables: readonly Table[]) {
    this.tables = tables;
  }

  constant(value: number): number {
    const name = Object.is(value, -0) ? "-0" : String(value);
    return this.node({ op: "constant", value }, `constant ${name}`, 0);
  }

  component(component: number): number {
    return this.node({ op: "component", component }, `component ${component}`, byDraw);
  }

  attribute(attribute: number): number {
    return this.node({ op: "attribute", attribute }, `attribute ${attribute}`, byGroup);
  }

  time(op: "cycle" | "time" | "opening"): number {
    return this.node({ op }, op, byCycle);
  }

  one(op: Unary | "not", of: number): number {
    const value = this.valueOf(of);
    if (value !== undefined) return this.constant(apply(op, value, 0));
    return this.node({ op, of }, `${op} ${of}`, this.axes[of]!);
  }

  two(op: Binary, left: number, right: number): number {
    const a = this.valueOf(left);
    const b = this.valueOf(right);
    if (a !== undefined && b !== undefined) return this.constant(apply(op, a, b));
    if (b === 1 && (op === "multiply" || op === "divide")) return left;
    if (a === 1 && op === "multiply") return right;
    if (left > right && commutative.has(op)) return this.two(op, right, left);
    return this.node({ op, left, right }, `${op} ${left} ${right}`, this.axes[left]! | this.axes[right]!);
  }

  choose(test: number, yes: number, no: number): number {
    const value = this.valueOf(test);
    if (value !== undefined) return value !== 0 ? yes : no;
    const axes = this.axes[test]! | this.axes[yes]! | this.axes[no]!;
    return this.node({ op: "if", test, yes, no }, `if ${test} ${yes} ${no}`, axes);
  }

  /** A table's value; the row is the number of a series. A position beyond its rows is kept, so that it can be told. */
  table(table: number, at: number, row: number): number {
    const position = this.valueOf(at);
    const series = this.valueOf(row);
    if (position !== undefined && series !== undefined) {
      const { x, beyond } = this.tables[table]!;
      if (beyond === "last" || !(position < x[0]! || position > x[x.length - 1]!))
        return this.constant(lookUp(this.tables[table]!, position, series));
    }
    return this.node({ op: "table", table, at, row }, `table ${table} ${at} ${row}`, this.axes[at]! | this.axes[row]!);
  }

  crude(incidence: number, others: number, years: number): number {
    const p = this.valueOf(incidence);
    const hazards = this.valueOf(others);
    if (p !== undefined && hazards !== undefined) return this.constant(crudeHazard(p, hazards, years));
    const axes = this.axes[incidence]! | this.axes[others]!;
    return this.node({ op: "crude", incidence, others, years }, `crude ${incidence} ${others} ${years}`, axes);
  }

  guard(demand: Demand, of: number): number {
    const value = this.valueOf(of);
    if (value !== undefined && meets(demand, value)) return of;
    return this.node({ op: "guard", demand, of }, `guard ${demand} ${of}`, this.axes[of]!);
  }

  /** The value of a constant, else undefined. */
  valueOf(node: number): number | undefined {
    const found = this.nodes[node]!;
    return found.op === "constant" ? found.value : undefined;
  }

  private node(node: GraphNode, key: string, axes: number): number {
    const known = this.known.get(key);
    if (known !== undefined) return known;
    const number = this.nodes.push(node) - 1;
    this.axes.push(axes);
    this.known.set(key, number);
    return number;
  }
}
