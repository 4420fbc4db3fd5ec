import { byCycle, type Graph } from "./graph.ts";
import type { Program } from "./program.ts";
import { valuesByCycle } from "./scalars.ts";
import { Settled } from "./settle.ts";

/** How often a condition on time may change and still cut time into runs. */
const changeLimit = 8;

/** Per cycle, the graph with the conditions settled that depend on time alone and change rarely. */
export function conditionsOnTime(graph: Graph, program: Program): (cycle: number) => Settled {
  const tests = new Set(graph.nodes.flatMap((node) => (node.op === "if" ? [node.test] : [])));
  const decided = [...tests].flatMap((test) => {
    if (graph.axes[test] !== byCycle) return [];
    const values = valuesByCycle(graph, program, test).map((value) => (value !== 0 ? 1 : 0));
    const changes = values.filter((value, c) => c > 0 && value !== values[c - 1]).length;
    return changes <= changeLimit ? [{ test, values }] : [];
  });
  const known = new Map<string, Settled>();
  return (cycle) => {
    const name = decided.map(({ values }) => values[cycle]).join("");
    const found =
      known.get(name) ??
      new Settled(graph, new Map(decided.map(({ test, values }) => [test, values[cycle] !== 0])), name);
    known.set(name, found);
    return found;
  };
}
