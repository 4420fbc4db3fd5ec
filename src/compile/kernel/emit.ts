import type { Demand } from "../graph.ts";
import { byGroup, ranges } from "../graph.ts";
import { type Plan, type Transfer, transfersOf } from "../plan.ts";
import { Addresses } from "./addresses.ts";
import { ArrayFunctions } from "./array-functions.ts";
import { ClusterSearch, type Clusters } from "./clusters.ts";
import { Driver, type Steps } from "./driver.ts";
import { Frame, type Workspace } from "./frame.ts";
import type { Ground } from "./ground.ts";
import { Lens, type Sight, type Source } from "./lens.ts";
import { tableBytes, writeTables } from "./log-tables.ts";
import { Loops } from "./loops.ts";
import { Functions, moduleBytes } from "./module.ts";
import { type GroupRows, Passage } from "./passage.ts";
import { within } from "./ranges.ts";
import { nodesOf, Stages, type Task } from "./stages.ts";
import { TableFunctions } from "./table-functions.ts";
import { pairsPerTurn, workBytes } from "./within-range.ts";

/** What a kernel is made for: a plan as one run sees it, and the workspace in which the run keeps its lanes. */
export interface Assignment {
  readonly plan: Plan;
  readonly sight: Sight;
  readonly workspace: Workspace;
  readonly rows: GroupRows;
  /** Where the factor per cycle of a tally lies. */
  weight(tally: number): Source;
}

/** A module that takes pairs of lanes through a plan: `run(16 * p)` for pair `p`. */
export interface Kernel {
  readonly bytes: Uint8Array;
  readonly pages: number;
  /** Address of the workspace, which the run fills and reads. */
  readonly workspaceAt: number;
  /** Writes what the functions read, once; `numbers` are those of the workspace. */
  write(memory: ArrayBufferLike, numbers: Float64Array): void;
}

const page = 65536;

/** Bytes of arrays by cycle that stay in the nearest cache beside everything else. */
const arrayBytes = 16384;
/** Cycles taken together: fewer cost calls, more do not save any. */
const leastCycles = 4;
const mostCycles = 64;

/**
 * The kernel of a plan: for each transfer the stages of what it computes, then flows, sums and counts, cycle upon cycle,
 * in the order of operations of the lane evaluator. Its memory:
 *
 * ```
 * tables of exp and log | tables of the model | workspace of the lanes | numbers by cycle | arrays by cycle | frame
 * ```
 */
export function emitKernel({ plan, sight, workspace, rows, weight }: Assignment): Kernel {
  const lens = new Lens(sight);
  const functions = new Functions();
  const search = new ClusterSearch(lens);
  const staged = [...transfersOf(plan)].map((transfer) => {
    const stages = stagesOf(lens, search, plan, transfer);
    const { shared, alike, own } = stages;
    return { transfer, ...stages, regions: [shared, alike, own].flatMap((one) => one?.regions ?? []) };
  });
  const names = staged.flatMap(({ regions }) => regions).flatMap(({ deep }) => (deep === null ? [] : [deep.name]));
  const wanted = new Set(names.flatMap((name) => (name.startsWith("table ") ? [Number(name.slice(6))] : [])));
  const tables = new TableFunctions(functions, sight.tables, wanted, tableBytes + workBytes);
  const workspaceAt = aligned(tables.end);
  const cyclesAt = aligned(workspaceAt + 8 * workspace.length);
  const arraysAt = aligned(cyclesAt + 16 * (workspace.cycles + 1) * workspace.counts.cycle);
  const longest = longestRuns(plan);
  const cycles = new Map<Transfer, number>();
  let frameAt = arraysAt;
  for (const { transfer, regions } of staged) {
    const count = cyclesTogether(
      regions.reduce((sum, { slots }) => sum + slots, 0),
      longest.get(transfer)!,
    );
    cycles.set(transfer, count);
    let at = arraysAt;
    for (const region of regions) {
      region.address = at;
      at += 16 * (count * region.slots + pairsPerTurn);
    }
    frameAt = Math.max(frameAt, at);
  }
  const sets = Math.max(0, ...staged.map(({ transfer }) => transfer.sets.length));
  const frame = new Frame(plan.states + sets, plan.tallies.length);
  const ground: Ground = { lens, workspace, workspaceAt, cyclesAt, frame, frameAt, weight };
  const loops = new Loops(ground, functions, new ArrayFunctions(functions, 0), tables);
  const steps = new Map(
    staged.map(({ transfer, shared, alike, clusters, own }): readonly [Transfer, Steps] => [
      transfer,
      {
        shared: shared === null ? null : loops.sequence(shared, false),
        alike: alike === null ? null : loops.sequence(alike, false),
        clusters,
        own: loops.sequence(own, true),
        cycles: cycles.get(transfer)!,
      },
    ]),
  );
  const addresses = new Addresses(ground, frameAt + frame.rows.bytes);
  const passage = new Passage(plan, ground, functions, addresses, rows);
  new Driver(plan, functions, steps, addresses, passage, workspace.counts).run();
  const pages = Math.ceil(addresses.end / page);
  return {
    bytes: moduleBytes(functions.list, { least: pages, most: pages, shared: false }),
    pages,
    workspaceAt,
    write(memory, numbers) {
      writeTables(memory, 0);
      tables.write(memory);
      const { at, counts } = workspace;
      const byCycle = numbers.subarray(at.cycle, at.cycle + (workspace.cycles + 1) * counts.cycle);
      const twice = new Float64Array(memory, cyclesAt, 2 * byCycle.length);
      for (let k = 0; k < byCycle.length; k++) {
        twice[2 * k] = byCycle[k]!;
        twice[2 * k + 1] = byCycle[k]!;
      }
      for (const [position, place] of frame.rows.singles)
        new Float64Array(memory, frameAt + place, 2).fill(numbers[position]!);
    },
  };
}

/** The stages of a transfer: what all groups share, what those of each cluster share, and the rest; null for nothing. */
interface Staged {
  readonly shared: Stages | null;
  readonly alike: Stages | null;
  readonly clusters: Clusters["groups"];
  readonly own: Stages;
}

function stagesOf(lens: Lens, search: ClusterSearch, plan: Plan, transfer: Transfer): Staged {
  const several = lens.sight.groups.length > 1;
  const checks = checksOf(lens, transfer);
  const tasks = lastTasks(plan, transfer);
  const clusters = search.best([...tasks.flatMap(nodesOf), ...checks.map(({ node }) => node)]);
  const isShared = (node: number): boolean => several && lens.isLate(node) && (lens.sight.axes[node]! & byGroup) === 0;
  const isAlike = (node: number): boolean =>
    clusters !== null && lens.isLate(node) && !isShared(node) && clusters.shares(node);
  const isOwn = (node: number): boolean => lens.isLate(node) && !isShared(node) && !isAlike(node);
  const own = new Stages(
    lens,
    isOwn,
    tasks,
    checks.filter(({ node }) => isOwn(node)),
  );
  /** Stages of what others ask for and of their own checks, if there is anything. */
  const lending = (borrowers: readonly Stages[], isTheirs: (node: number) => boolean): Stages | null => {
    const asked = new Set(borrowers.flatMap(({ borrowed }) => [...borrowed].filter(isTheirs)));
    const theirs = checks.filter(({ node }) => isTheirs(node));
    if (asked.size + theirs.length === 0) return null;
    const offers = [...asked].map((node): Task => ({ does: "offer", node }));
    return new Stages(lens, isTheirs, offers, theirs);
  };
  const alike = lending([own], isAlike);
  const shared = lending(alike === null ? [own] : [own, alike], isShared);
  own.lender = alike ?? shared;
  if (alike !== null) alike.lender = shared;
  return { shared, alike, clusters: alike === null ? [] : clusters!.groups, own };
}

/** Flows, sums of closing rows and counts, in the order in which the lane evaluator has them. */
function lastTasks(plan: Plan, { flows, writes, closingSets, sets, counts }: Transfer): readonly Task[] {
  const byTarget = new Map(writes.map((target) => [target, flows.filter((flow) => flow.target === target)]));
  return [
    ...[...byTarget].map(([target, list]): Task => ({ does: "move", target, flows: list })),
    ...closingSets.map((k): Task => ({ does: "sum", row: plan.states + k, members: sets[k]! })),
    ...counts.map((count): Task => ({ does: "count", count })),
  ];
}

/** Demands on values that cycles compute, each once, but for those that the ranges of the values answer. */
function checksOf(lens: Lens, { checks }: Transfer): readonly { readonly node: number; readonly demand: Demand }[] {
  const found = new Map<string, { node: number; demand: Demand }>();
  for (const { guard } of checks) {
    const node = lens.op(guard);
    if (node.op !== "guard") throw new Error(`node ${guard} is no guard`);
    const of = lens.node(node.of);
    const [low, high] = ranges[node.demand];
    if (lens.isLate(of) && !within(lens.range(of), low, high))
      found.set(`${node.demand} ${of}`, { node: of, demand: node.demand });
  }
  return [...found.values()];
}

/** The longest run of cycles of each transfer. */
function longestRuns({ segments, last }: Plan): ReadonlyMap<Transfer, number> {
  const longest = new Map<Transfer, number>();
  const run = (transfer: Transfer, cycles: number): void => {
    longest.set(transfer, Math.max(cycles, longest.get(transfer) ?? 0));
  };
  for (const { from, to, instants, transfer } of segments) {
    run(transfer, to - from);
    for (const step of instants) run(step.transfer, 1);
  }
  if (last !== null) run(last, 1);
  return longest;
}

function cyclesTogether(slots: number, longest: number): number {
  const fitting = Math.floor(arrayBytes / (16 * Math.max(1, slots)));
  return Math.min(longest, Math.max(leastCycles, Math.min(mostCycles, fitting)));
}

function aligned(address: number): number {
  return (address + 63) & -64;
}
