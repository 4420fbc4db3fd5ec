import { crudeHazard } from "../numerics/crude-incidence.ts";
import { byCycle, type Graph, type GraphNode, meets, operands } from "./graph.ts";
import { lookUp } from "./look-up.ts";
import { apply } from "./operators.ts";
import type { Program } from "./program.ts";

/** The moment and the group that a value without draws is asked for. */
export interface Setting {
  readonly cycle: number;
  readonly group: number;
}

/**
 * Values of nodes that do not vary with the row, one at a time by the operators of the language. `value` is told the
 * values of the operands in their order.
 */
export function scalarValue(
  program: Program,
  node: GraphNode,
  setting: Setting,
  value: (node: number) => number,
): number {
  const { cyclesPerYear, evaluateAt } = program.grid;
  switch (node.op) {
    case "constant":
      return node.value;
    case "component":
      throw new Error("a component of the row is no scalar");
    case "attribute":
      return program.groups[setting.group]!.attributes[node.attribute]!;
    case "cycle":
      return setting.cycle;
    case "time":
      return (setting.cycle + evaluateAt) / cyclesPerYear;
    case "opening":
      return setting.cycle / cyclesPerYear;
    case "if":
      return value(node.test) !== 0 ? value(node.yes) : value(node.no);
    case "table":
      return lookUp(program.tables[node.table]!, value(node.at), value(node.row));
    case "crude":
      return crudeHazard(value(node.incidence), value(node.others), node.years);
    case "guard": {
      const of = value(node.of);
      return meets(node.demand, of) ? of : 0;
    }
    default:
      return "of" in node ? apply(node.op, value(node.of), 0) : apply(node.op, value(node.left), value(node.right));
  }
}

/** All nodes under some roots, the roots included, in order of evaluation. */
export function nodesUnder(graph: Graph, roots: Iterable<number>): readonly number[] {
  const seen = new Set<number>(roots);
  // a set visits what is added while it is walked
  for (const node of seen) for (const operand of operands(graph.nodes[node]!)) seen.add(operand);
  return [...seen].sort((a, b) => a - b);
}

/** The values of one node that varies with the cycle alone, at the cycles 0 to `cycles`. */
export function valuesByCycle(graph: Graph, program: Program, root: number): Float64Array {
  if ((graph.axes[root]! & ~byCycle) !== 0) throw new Error("the node varies with more than the cycle");
  const order = nodesUnder(graph, [root]);
  const now = new Map<number, number>();
  return Float64Array.from({ length: program.grid.cycles + 1 }, (_, cycle) => {
    for (const node of order)
      now.set(
        node,
        scalarValue(program, graph.nodes[node]!, { cycle, group: 0 }, (operand) => now.get(operand)!),
      );
    return now.get(root)!;
  });
}
