import type { Graph } from "./graph.ts";
import type { Table } from "./program.ts";

/**
 * For each node, a node that is not 0 where its value asks a table for a position beyond its rows that the table refuses.
 * What is asked on the side of a condition that is not taken does not count.
 */
export class BeyondTables {
  private readonly graph: Graph;
  private readonly tables: readonly Table[];
  private readonly known = new Map<number, number>();

  constructor(graph: Graph, tables: readonly Table[]) {
    this.graph = graph;
    this.tables = tables;
  }

  /** The node for a node: the constant 0 where nothing can lie beyond a table. */
  of(number: number): number {
    const known = this.known.get(number);
    if (known !== undefined) return known;
    const found = this.found(number);
    this.known.set(number, found);
    return found;
  }

  private found(number: number): number {
    const { graph } = this;
    const node = graph.nodes[number]!;
    switch (node.op) {
      case "if":
        return this.either(this.of(node.test), graph.choose(node.test, this.of(node.yes), this.of(node.no)));
      case "table": {
        const { beyond, x } = this.tables[node.table]!;
        if (beyond === "last") return this.of(node.at);
        const below = graph.two("less", node.at, graph.constant(x[0]!));
        const above = graph.two("greater", node.at, graph.constant(x[x.length - 1]!));
        return this.either(this.of(node.at), graph.two("or", below, above));
      }
      case "crude":
        return this.either(this.of(node.incidence), this.of(node.others));
      default:
        if ("of" in node) return this.of(node.of);
        if ("left" in node) return this.either(this.of(node.left), this.of(node.right));
        return graph.constant(0);
    }
  }

  private either(left: number, right: number): number {
    if (this.graph.valueOf(left) === 0) return right;
    if (this.graph.valueOf(right) === 0) return left;
    return this.graph.two("or", left, right);
  }
}
