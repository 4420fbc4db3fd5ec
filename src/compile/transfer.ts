import { isSteady } from "./amounts.ts";
import type { Asked } from "./demands.ts";
import type { Graph } from "./graph.ts";
import type { Check, CheckPlace, Count, Flow, Term, Transfer } from "./plan.ts";
import type { Settled } from "./settle.ts";
import type { Tallies } from "./tallies.ts";
import type { Transition, Worth, YearlyAmounts } from "./transitions.ts";
import type { Weights } from "./weights.ts";

/** What a transfer is made from. `transition` is null where nobody moves and only amounts are wanted. */
export interface TransferParts {
  readonly states: number;
  readonly reads: readonly number[];
  /** States that must get a value though no flow leads there. */
  readonly writes: readonly number[];
  /** Whether the transfer follows itself. */
  readonly repeats: boolean;
  readonly settled: Settled;
  readonly weights: Weights;
  readonly tallies: Tallies;
  readonly transition: ((state: number) => Transition) | null;
  /** Null where no time passes. */
  readonly yearly: ((state: number) => YearlyAmounts) | null;
}

/**
 * Flows, counts and checks of a set of states, terms with the same coefficient put together: their members are added up
 * first and multiplied once. Lists run by state, so equal parts give equal transfers.
 */
export function transferOf(graph: Graph, parts: TransferParts): Transfer {
  const { states, reads, settled, weights, tallies, transition, yearly } = parts;
  const sets = new RowSets(states);
  const byTarget = new Map<number, Grouped>();
  const counted = new Map<number, CountParts>();
  const checks = new Map<number, CheckPlace[]>();
  const check = (list: readonly Asked[], state: number, either: boolean): void => {
    for (const { guard, via } of list) {
      const node = settled.of(guard);
      const share = via === null ? null : settled.of(via);
      if (graph.nodes[node]!.op !== "guard" || (share !== null && graph.valueOf(share) === 0)) continue;
      const places = checks.get(node) ?? [];
      places.push({ state, either, via: share });
      checks.set(node, places);
    }
  };
  const count = (account: number, weight: number, factor: number): CountParts => {
    const tally = tallies.number(account, weight, factor);
    const known = counted.get(tally) ?? { tally, opening: new Map(), closing: new Map() };
    counted.set(tally, known);
    return known;
  };

  for (const state of transition === null ? [] : reads) {
    const { moves, booked, asked } = transition!(state);
    for (const [target, node] of moves) {
      const groups = byTarget.get(target) ?? new Map<number, number[]>();
      byTarget.set(target, groups);
      group(graph, groups, settled.of(node), state);
    }
    for (const { account, coefficient, factor, point } of booked)
      group(graph, count(account, weights.once(account, point), factor).opening, settled.of(coefficient), state);
    check(asked, state, false);
  }
  const targets = ascending([...byTarget].filter(([, groups]) => groups.size > 0).map(([target]) => target));
  if (yearly !== null) {
    const one = graph.constant(1);
    const alive = { account: weights.lifeYears, coefficient: one, factor: one };
    const live = (state: number, at: "opening" | "closing"): void => {
      for (const worth of [...yearly(state).worths, alive]) {
        const { account } = worth;
        const { coefficient, factor } = steadied(graph, settled.of(worth.coefficient), worth.factor);
        for (const { weight, ...ends } of weights.overTime(account))
          if (ends[at]) group(graph, count(account, weight, factor)[at], coefficient, state);
      }
    };
    for (const state of reads) live(state, "opening");
    for (const state of targets) live(state, "closing");
    for (const state of ascending([...reads, ...targets])) check(yearly(state).asked, state, true);
  }

  const flows = targets.flatMap((target): readonly Flow[] =>
    [...byTarget.get(target)!].map(([coefficient, from]) => ({ target, coefficient, from: sets.row(from) })),
  );
  const counts = [...counted.values()].map((one) => countOf(one, sets)).filter(({ terms }) => terms.length > 0);
  const terms = counts.flatMap((one) => one.terms);
  const setsOf = (rows: readonly number[]) => ascending(rows.filter((row) => row >= states).map((row) => row - states));
  const entrySets = setsOf([...flows.map(({ from }) => from), ...terms.map(({ opening }) => opening)]);
  const closing = setsOf(terms.map((term) => term.closing));
  return {
    reads,
    writes: ascending([...parts.writes, ...targets]),
    sets: sets.list,
    entrySets,
    closingSets: parts.repeats ? ascending([...entrySets, ...closing]) : closing,
    flows,
    counts,
    checks: [...checks].map(([guard, places]): Check => ({ guard, places })),
  };
}

/** Members by coefficient. */
type Grouped = Map<number, number[]>;

interface CountParts {
  readonly tally: number;
  readonly opening: Grouped;
  readonly closing: Grouped;
}

function group(graph: Graph, groups: Grouped, node: number, state: number): void {
  if (graph.valueOf(node) === 0) return;
  const members = groups.get(node);
  if (members === undefined) groups.set(node, [state]);
  else members.push(state);
}

function countOf({ tally, opening, closing }: CountParts, sets: RowSets): Count {
  const terms = [...new Set([...opening.keys(), ...closing.keys()])].map(
    (coefficient): Term => ({
      coefficient,
      opening: sets.row(opening.get(coefficient) ?? []),
      closing: sets.row(closing.get(coefficient) ?? []),
    }),
  );
  return { tally, terms };
}

/** A coefficient that is the same in all cycles joins the factor. */
function steadied(graph: Graph, coefficient: number, factor: number): Pick<Worth, "coefficient" | "factor"> {
  if (!isSteady(graph, coefficient) || graph.valueOf(coefficient) !== undefined) return { coefficient, factor };
  return { coefficient: graph.constant(1), factor: graph.two("multiply", coefficient, factor) };
}

/** Ascending numbers, each once. */
export function ascending(numbers: Iterable<number>): readonly number[] {
  return [...new Set(numbers)].sort((a, b) => a - b);
}

/** Sets of states, each kept once, and the rows that hold their sums. */
class RowSets {
  readonly list: (readonly number[])[] = [];
  private readonly states: number;
  private readonly known = new Map<string, number>();

  constructor(states: number) {
    this.states = states;
  }

  /** The row of a state or of the sum of several; -1 of none. */
  row(members: readonly number[]): number {
    if (members.length < 2) return members[0] ?? -1;
    const key = members.join();
    const known = this.known.get(key);
    if (known !== undefined) return known;
    const row = this.states + this.list.push(members) - 1;
    this.known.set(key, row);
    return row;
  }
}
