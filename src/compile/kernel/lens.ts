import { byCycle, byDraw, type Graph, type GraphNode } from "../graph.ts";
import type { Table } from "../program.ts";
import { type Range, rangeAfter, standIn } from "./ranges.ts";

/**
 * Where a value lies before the cycles begin: which of the workspace's regions, and the position in it. The first four
 * hold one number for all lanes, the others one for each.
 */
export interface Source {
  readonly region: "constant" | "cycle" | "group" | "groupCycle" | "row" | "groupRow";
  readonly position: number;
}

/** A graph as one run sees it, and what is there before its cycles begin. */
export interface Sight {
  readonly graph: Graph;
  readonly tables: readonly Table[];
  /** The values of the attributes of each group. */
  readonly groups: readonly (readonly number[])[];
  /** Per node, the bits of what it varies with in this run. */
  readonly axes: readonly number[];
  /** The node whose value stands for a node's; of an operand alike. */
  resolved(node: number): number;
  operands(node: number): readonly number[];
  /** Of a node that does not vary with both row and cycle. */
  source(node: number): Source;
  /** Of what the run knows the values of: null for what is computed from that. */
  range(node: number): Range | null;
}

/**
 * The graph as the kernel computes it: ranges are known, and where they settle which side of a minimum, a maximum or a
 * condition is taken, that side stands for it.
 */
export class Lens {
  readonly graph: Graph;
  readonly sight: Sight;
  // by node, as they are first asked for
  private readonly ranges: Range[] = [];
  private readonly settled: number[] = [];
  private readonly under: (readonly number[])[] = [];

  constructor(sight: Sight) {
    this.sight = sight;
    this.graph = sight.graph;
  }

  /** The node whose value stands for a node's. */
  node(number: number): number {
    const known = this.settled[number];
    if (known !== undefined) return known;
    let at = this.sight.resolved(number);
    for (;;) {
      const node = this.graph.nodes[at]!;
      if (!this.isLate(at) || (node.op !== "min" && node.op !== "max" && node.op !== "if")) break;
      const operands = this.sight.operands(at);
      const side = standIn(
        node,
        operands.map((operand) => this.range(operand)),
      );
      if (side < 0) break;
      at = operands[side]!;
    }
    this.settled[number] = at;
    return at;
  }

  /** What a node is computed from, each as the node that stands for it. */
  operands(number: number): readonly number[] {
    const known = this.under[number];
    if (known !== undefined) return known;
    const found = this.sight.operands(number).map((operand) => this.node(operand));
    this.under[number] = found;
    return found;
  }

  /** What op a node is. */
  op(number: number): GraphNode {
    return this.graph.nodes[number]!;
  }

  /** True where a value varies with both row and cycle, so that it is the cycles that compute it. */
  isLate(number: number): boolean {
    const axes = this.sight.axes[number]!;
    return (axes & byDraw) !== 0 && (axes & byCycle) !== 0;
  }

  /** Where the values of a node lie. */
  range(number: number): Range {
    const known = this.ranges[number];
    if (known !== undefined) return known;
    const found =
      this.sight.range(number) ??
      rangeAfter(
        this.graph.nodes[number]!,
        this.sight.tables,
        this.sight.operands(number).map((operand) => this.range(operand)),
      );
    this.ranges[number] = found;
    return found;
  }
}
