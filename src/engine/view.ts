import { byDraw, type Graph, type GraphNode, operands } from "../compile/graph.ts";
import type { Program } from "../compile/program.ts";
import { scalarValue } from "../compile/scalars.ts";

/**
 * A graph as one run sees it. Components that hold one value in all rows of the run are numbers here and not lanes, so
 * that what depends on them alone is computed once; and a condition that is settled by that leaves only its one side.
 */
export class View {
  readonly graph: Graph;
  /** Per node, what it varies with in this run; see `byDraw`. */
  readonly axes: readonly number[];
  /** With guards kept (the careful way) a value out of range becomes 0; without, guards stand for their operand. */
  readonly careful: boolean;
  private readonly program: Program;
  private readonly row: Float64Array;
  private readonly constants = new Map<number, number>();
  private readonly under: (readonly number[])[] = [];

  /** `row` is any row of the run; `varies` says which components differ between rows. */
  constructor(program: Program, graph: Graph, row: Float64Array, varies: readonly boolean[], careful: boolean) {
    this.program = program;
    this.graph = graph;
    this.row = row;
    this.careful = careful;
    const axes: number[] = [];
    for (const [number, node] of graph.nodes.entries()) {
      const under = operands(node);
      if (node.op === "component") axes.push(varies[node.component]! ? byDraw : 0);
      else if (under.length === 0) axes.push(graph.axes[number]!);
      else if (node.op === "if" && axes[node.test] === 0) axes.push(axes[this.taken(node)]!);
      else axes.push(under.reduce((bits, operand) => bits | axes[operand]!, 0));
    }
    this.axes = axes;
  }

  /** The node whose value stands for a node's: see above. */
  resolved(number: number): number {
    let at = number;
    for (;;) {
      const node = this.graph.nodes[at]!;
      if (node.op === "guard" && !this.careful) at = node.of;
      else if (node.op === "if" && this.axes[node.test] === 0) at = this.taken(node);
      else return at;
    }
  }

  /** The resolved operands of a node. */
  operands(number: number): readonly number[] {
    const known = this.under[number];
    if (known !== undefined) return known;
    const found = operands(this.graph.nodes[number]!).map((operand) => this.resolved(operand));
    this.under[number] = found;
    return found;
  }

  /** The value of a node that varies with nothing. */
  constant(number: number): number {
    const known = this.constants.get(number);
    if (known !== undefined) return known;
    const value = this.scalar(number, 0, 0, (operand) => this.constant(operand));
    this.constants.set(number, value);
    return value;
  }

  /** The value of a node that does not vary with the row, from those of its operands. */
  scalar(number: number, cycle: number, group: number, value: (operand: number) => number): number {
    const node = this.graph.nodes[number]!;
    if (node.op === "component") return this.row[node.component]!;
    return scalarValue(this.program, node, { cycle, group }, value);
  }

  /** A node that is known to be a guard. */
  guard(number: number): GraphNode & { op: "guard" } {
    const node = this.graph.nodes[number]!;
    if (node.op !== "guard") throw new Error(`node ${number} is no guard`);
    return node;
  }

  /** The side of a condition that a constant test takes. */
  taken(node: GraphNode & { op: "if" }): number {
    return this.constant(node.test) !== 0 ? node.yes : node.no;
  }
}
