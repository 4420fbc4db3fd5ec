import { byCycle, byDraw, byGroup } from "../compile/graph.ts";
import { type Plan, type Start, type Transfer, transfersOf } from "../compile/plan.ts";
import type { View } from "./view.ts";

/** Nodes that a transfer needs in lanes, ascending, and those of them that its flows, counts and checks read. */
export interface TransferNeeds {
  /** The same for all groups. */
  readonly shared: readonly number[];
  /** Of one group. */
  readonly own: readonly number[];
  readonly roots: ReadonlySet<number>;
}

/** Which nodes a plan needs, by the stage that computes them. */
export interface Needs {
  /** Once per row, and once per row and group. */
  readonly row: readonly number[];
  readonly groupRow: readonly number[];
  /** Those of them that later stages read. */
  readonly outlive: ReadonlySet<number>;
  readonly transfers: ReadonlyMap<Transfer, TransferNeeds>;
}

const perDraw = byDraw;
const perDrawAndGroup = byDraw | byGroup;

/** Walks a plan from its roots, in one view. */
export function needsOf(plan: Plan, view: View): Needs {
  const row = new Set<number>();
  const groupRow = new Set<number>();
  const outlive = new Set<number>();
  const early = (node: number): boolean => (view.axes[node]! & byCycle) === 0;
  const below = (roots: ReadonlySet<number>): readonly number[] => {
    const seen = new Set([...roots].filter((node) => (view.axes[node]! & byDraw) !== 0));
    for (const node of roots) if (early(node)) outlive.add(node);
    // a set visits what is added while it is walked
    for (const node of seen) {
      for (const operand of view.operands(node)) {
        if ((view.axes[operand]! & byDraw) === 0) continue;
        seen.add(operand);
        if (early(operand) && view.axes[operand] !== view.axes[node]) outlive.add(operand);
      }
    }
    const list = [...seen].sort((a, b) => a - b);
    for (const node of list) {
      if (view.axes[node] === perDraw) row.add(node);
      if (view.axes[node] === perDrawAndGroup) groupRow.add(node);
    }
    return list;
  };
  below(startRoots(plan.start, view));
  below(new Set(plan.tallies.flatMap(({ worth }) => worth.map(({ factor }) => view.resolved(factor)))));
  const transfers = new Map<Transfer, TransferNeeds>();
  for (const transfer of transfersOf(plan)) {
    const roots = transferRoots(transfer, view);
    const late = below(roots).filter((node) => !early(node));
    transfers.set(transfer, {
      shared: late.filter((node) => (view.axes[node]! & byGroup) === 0),
      own: late.filter((node) => (view.axes[node]! & byGroup) !== 0),
      roots,
    });
  }
  const sorted = (nodes: Set<number>): readonly number[] => [...nodes].sort((a, b) => a - b);
  return { row: sorted(row), groupRow: sorted(groupRow), outlive, transfers };
}

function startRoots(start: Start, view: View): ReadonlySet<number> {
  const checked = start.checks.map(({ guard }) => view.guard(guard).of);
  return new Set([...start.shares.map((share) => share.coefficient), ...checked].map((node) => view.resolved(node)));
}

function transferRoots(transfer: Transfer, view: View): ReadonlySet<number> {
  const { flows, counts, checks } = transfer;
  const vias = view.careful
    ? checks.flatMap(({ places }) => places.flatMap(({ via }) => (via === null ? [] : [via])))
    : [];
  const nodes = [
    ...flows.map((flow) => flow.coefficient),
    ...counts.flatMap(({ terms }) => terms.map((term) => term.coefficient)),
    ...checks.map(({ guard }) => view.guard(guard).of),
    ...vias,
  ];
  return new Set(nodes.map((node) => view.resolved(node)));
}
