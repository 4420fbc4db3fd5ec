import { Amounts } from "./amounts.ts";
import { conditionsOnTime } from "./conditions-on-time.ts";
import { Demands } from "./demands.ts";
import type { Expansion } from "./expand.ts";
import { Graph } from "./graph.ts";
import { Instances, whenAtBoundary, whenInCycle } from "./instances.ts";
import { Itinerary } from "./itinerary.ts";
import type { InstantStep, Plan, Segment, Transfer } from "./plan.ts";
import type { Program } from "./program.ts";
import { runs } from "./runs.ts";
import { Settled } from "./settle.ts";
import { startShares } from "./start-shares.ts";
import { merged, Tallies } from "./tallies.ts";
import { transferOf } from "./transfer.ts";
import { Transitions, type YearlyAmounts } from "./transitions.ts";
import { Weights } from "./weights.ts";

/**
 * The plan of one compared strategy, as the scenario's perspective sees its accounts.
 *
 * ```
 * rules -> transitions per state -> states reached per boundary -> conditions on time settled -> again
 *       -> runs of cycles alike -> flows, sums, ledgers and checks of each run
 * ```
 */
export function buildPlan(program: Program, expansion: Expansion, strategy: number): Plan {
  const movement = expansion.movements[strategy];
  if (movement === undefined || movement === null) throw new Error(`strategy ${strategy} is not expanded`);
  const { analysis, grid } = program;
  const graph = new Graph(program.tables);
  const instances = new Instances(graph, program, strategy);
  const demands = new Demands(instances, program);
  const perspective = analysis.perspectives.find(({ name }) => name === analysis.perspective);
  const amounts = new Amounts(program, movement, demands, perspective?.bearers ?? null);
  const transitions = new Transitions(program, expansion, movement, demands, amounts);
  const itinerary = new Itinerary(program, expansion, instances, transitions);
  const weights = new Weights(program);
  const boundary = analysis.counting.rule === "boundary";
  const when = boundary ? whenAtBoundary(graph) : whenInCycle(graph, program);
  const known = new Map<number, YearlyAmounts>();
  const yearly = (state: number): YearlyAmounts => {
    const found = known.get(state) ?? transitions.overTime(state, when);
    known.set(state, found);
    return found;
  };

  const start = startShares(program, expansion, demands);
  const started = start.shares.map(({ state }) => state);
  const nothing = new Settled(graph, new Map());
  for (const { open } of itinerary.stages(started, () => nothing)) open.forEach(yearly);
  const settledAt = conditionsOnTime(graph, program);
  const stages = itinerary.stages(started, settledAt);

  const tallies = new Tallies();
  const parts = { states: expansion.states.length, weights, tallies, repeats: false };
  const transfers = new Map<string, Transfer>();
  const segments: Segment[] = [];
  let valid: readonly number[] = started;
  for (const { from, to, reads } of runs(stages, settledAt)) {
    const settled = settledAt(from);
    const instants = stages[from]!.firings.map((firing): InstantStep => {
      const { before, after, transition, groups } = firing;
      const transfer = transferOf(graph, { ...parts, reads: before, writes: after, settled, transition, yearly: null });
      return { firing: groups, transfer, idleClear: after.filter((state) => !before.includes(state)) };
    });
    if (instants.length > 0) valid = instants.at(-1)!.transfer.writes;
    const repeats = to - from > 1;
    // what is read again must be written
    const writes = repeats ? reads : [];
    const key = `${reads.join()} ${repeats} ${settledAt(from).name}`;
    const transfer =
      transfers.get(key) ??
      transferOf(graph, {
        ...parts,
        repeats,
        reads,
        writes,
        settled,
        transition: (state) => itinerary.move(state),
        yearly,
      });
    transfers.set(key, transfer);
    segments.push({ from, to, instants, clear: without(reads, valid), transfer });
    valid = transfer.writes;
  }
  const reads = stages[grid.cycles]!.open;
  const settled = settledAt(grid.cycles);
  const last = boundary ? transferOf(graph, { ...parts, reads, writes: [], settled, transition: null, yearly }) : null;
  const steps = segments.flatMap(({ instants, transfer }) => [...instants.map((one) => one.transfer), transfer]);
  const counted = merged(tallies.list, last === null ? steps : [...steps, last]);
  const renewed = (transfer: Transfer): Transfer => counted.transfers.get(transfer)!;
  return {
    strategy,
    graph,
    states: expansion.states.length,
    cycles: grid.cycles,
    accounts: program.accounts.length,
    weights: weights.list,
    tallies: counted.tallies,
    start,
    segments: segments.map((segment) => ({
      ...segment,
      instants: segment.instants.map((step) => ({ ...step, transfer: renewed(step.transfer) })),
      transfer: renewed(segment.transfer),
    })),
    last: last === null ? null : renewed(last),
  };
}

const without = (list: readonly number[], others: readonly number[]): readonly number[] => {
  const known = new Set(others);
  return list.filter((one) => !known.has(one));
};
