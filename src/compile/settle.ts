import type { Graph, GraphNode } from "./graph.ts";

/** Nodes as they are while some conditions are known: the side not taken is left out, and what follows is folded. */
export class Settled {
  /** Which of the conditions hold, as text. */
  readonly name: string;
  private readonly graph: Graph;
  private readonly decided: ReadonlyMap<number, boolean>;
  private readonly known = new Map<number, number>();

  constructor(graph: Graph, decided: ReadonlyMap<number, boolean>, name = "") {
    this.name = name;
    this.graph = graph;
    this.decided = decided;
  }

  /** The node that has the same value while the conditions hold. */
  of(number: number): number {
    const known = this.known.get(number);
    if (known !== undefined) return known;
    const found = this.found(number, this.graph.nodes[number]!);
    this.known.set(number, found);
    return found;
  }

  private found(number: number, node: GraphNode): number {
    const { graph } = this;
    switch (node.op) {
      case "if": {
        const decided = this.decided.get(node.test);
        if (decided !== undefined) return this.of(decided ? node.yes : node.no);
        return graph.choose(this.of(node.test), this.of(node.yes), this.of(node.no));
      }
      case "table":
        return graph.table(node.table, this.of(node.at), this.of(node.row));
      case "crude":
        return graph.crude(this.of(node.incidence), this.of(node.others), node.years);
      case "guard":
        return graph.guard(node.demand, this.of(node.of));
      default:
        if ("of" in node) return graph.one(node.op, this.of(node.of));
        return "left" in node ? graph.two(node.op, this.of(node.left), this.of(node.right)) : number;
    }
  }
}
