import { byDraw } from "../compile/graph.ts";
import { emitKernel } from "../compile/kernel/emit.ts";
import type { Instantiate } from "../compile/kernel/module.ts";
import { type Range, rangeOf } from "../compile/kernel/ranges.ts";
import { type Plan, type Transfer, transfersOf } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { noteRow, tallyRow } from "./assembly.ts";
import type { Lanes } from "./lanes.ts";
import type { View } from "./view.ts";

/** As many terms take as long in one lane and cycle as one term of a kernel takes to be emitted and compiled. */
const termsPerEmitted = 10_000;

/** True where so many lanes make up for the time it takes to make a plan's kernel. */
export function kernelPays(plan: Plan, lanes: number): boolean {
  const terms = ({ flows, counts, checks }: Transfer): number =>
    flows.length + checks.length + counts.reduce((sum, count) => sum + count.terms.length, 0);
  let emitted = 0;
  for (const transfer of transfersOf(plan)) emitted += terms(transfer);
  const run = plan.segments.reduce((sum, { from, to, transfer }) => sum + (to - from) * terms(transfer), 0);
  return run * lanes >= emitted * termsPerEmitted;
}

/**
 * Lets lanes follow a kernel of their plan from now on; not a bit of what they find changes. `components` gives the
 * range of a component over all rows of the run.
 */
export function followKernel(
  program: Program,
  plan: Plan,
  view: View,
  lanes: Lanes,
  components: (component: number) => Range,
  instantiate: Instantiate,
): void {
  const { workspace } = lanes;
  const kernel = emitKernel({
    plan,
    workspace,
    sight: {
      graph: plan.graph,
      tables: program.tables,
      groups: program.groups.map(({ attributes }) => attributes),
      axes: view.axes,
      resolved: (node) => view.resolved(node),
      operands: (node) => view.operands(node),
      source: (node) => lanes.source(node),
      range(number) {
        const axes = view.axes[number]!;
        if (axes === 0) return rangeOf([view.constant(number)]);
        const node = plan.graph.nodes[number]!;
        if (node.op === "component") return components(node.component);
        return (axes & byDraw) === 0 && lanes.knows(number) ? rangeOfSingle(lanes, number) : null;
      },
    },
    rows: { note: noteRow, tally: (tally) => tallyRow(plan, tally) },
    weight: (tally) => lanes.factor(tally),
  });
  const { memory, exports } = instantiate(kernel.bytes, kernel.pages);
  kernel.write(memory, lanes.numbers);
  const run = exports["run"]!;
  lanes.follow(new Float64Array(memory, kernel.workspaceAt, workspace.length), (count) => {
    for (let lane = 0; lane < count; lane += 2) run(8 * lane);
  });
}

/** The range of a node that serves all lanes, over cycles and groups. */
function rangeOfSingle(lanes: Lanes, node: number): Range {
  const { workspace, numbers } = lanes;
  const { region, position } = lanes.source(node);
  if (region !== "cycle" && region !== "group" && region !== "groupCycle") throw new Error(`node ${node} is in lanes`);
  const { at, counts, groups, cycles } = workspace;
  const length = { cycle: cycles + 1, group: groups, groupCycle: groups * (cycles + 1) }[region];
  const from = at[region];
  return rangeOf(numbers.subarray(from, from + length * counts[region]), position, counts[region]);
}
