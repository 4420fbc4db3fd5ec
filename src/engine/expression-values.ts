import type { Bound } from "../compile/bound.ts";
import { Graph } from "../compile/graph.ts";
import { Instances, type When } from "../compile/instances.ts";
import type { Plan, Transfer } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import type { JointState } from "../compile/states.ts";
import { Lanes } from "./lanes.ts";
import { View } from "./view.ts";

/** An expression asked for, for people who stand in a joint state. */
export interface Asked {
  readonly node: Bound;
  readonly who: JointState;
}

/**
 * Values of expressions as the lane evaluator computes them, `[((row * groups + group) * cycles + cycle) * asked + k]`,
 * under a strategy and at the moment that `when` chooses. Components that are the same in all rows take the way of
 * numbers that serve all lanes, the others that of lanes.
 *
 * They run as a plan in which one state holds everybody and passes its whole membership, 1, on to a state for each
 * expression with the expression as coefficient.
 */
export function expressionValues(
  program: Program,
  strategy: number,
  asked: readonly Asked[],
  rows: Float64Array,
  when: (graph: Graph, program: Program) => When,
): Float64Array {
  const graph = new Graph(program.tables);
  const instances = new Instances(graph, program, strategy);
  const one = graph.constant(1);
  const moment = when(graph, program);
  const everybody = asked.length;
  const flows = asked.map(({ node, who }, k) => ({
    target: k,
    coefficient: instances.value(node, who, moment),
    from: everybody,
  }));
  const transfer: Transfer = {
    reads: [everybody],
    writes: [...asked.keys(), everybody],
    sets: [],
    entrySets: [],
    closingSets: [],
    flows: [...flows, { target: everybody, coefficient: one, from: everybody }],
    counts: [],
    checks: [],
  };
  const { cycles } = program.grid;
  const plan: Plan = {
    strategy,
    graph,
    states: everybody + 1,
    cycles,
    accounts: 0,
    weights: [],
    tallies: [],
    start: { shares: [{ state: everybody, coefficient: one }], checks: [] },
    segments: [{ from: 0, to: cycles, instants: [], clear: [], transfer }],
    last: null,
  };
  const width = program.components.length;
  const N = width === 0 ? 1 : rows.length / width;
  const varies = Array.from({ length: width }, (_, i) =>
    Array.from({ length: N }, (_row, k) => rows[k * width + i]!).some((value) => !Object.is(value, rows[i])),
  );
  const view = new View(program, graph, rows.subarray(0, width), varies, false);
  const lanes = new Lanes(program, plan, view, (N + 3) & -4);
  const G = program.groups.length;
  const values = new Float64Array(N * G * cycles * asked.length);
  lanes.run(rows, width, 0, N, (cycle, group) => {
    for (let k = 0; k < N; k++)
      for (let i = 0; i < asked.length; i++)
        values[((k * G + group) * cycles + cycle) * asked.length + i] = lanes.member(i, k);
  });
  return values;
}
