import type { Asked } from "./demands.ts";
import type { Graph } from "./graph.ts";
import type { Check, CheckPlace, Flow, Ledger, Term, Transfer } from "./plan.ts";
import type { Settled } from "./settle.ts";
import type { Transition, YearlyAmounts } from "./transitions.ts";
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
  readonly transition: ((state: number) => Transition) | null;
  /** Null where no time passes. */
  readonly yearly: ((state: number) => YearlyAmounts) | null;
}

/**
 * Flows, ledgers and checks of a set of states, terms with the same coefficient put together: their members are added up
 * first and multiplied once. Lists run by state, so equal parts give equal transfers.
 */
export function transferOf(graph: Graph, parts: TransferParts): Transfer {
  const { states, reads, settled, weights, transition, yearly } = parts;
  const sets = new RowSets(states);
  const byTarget = new Map<number, Grouped>();
  const ledgers = new Map<string, LedgerParts>();
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
  const ledger = (account: number, weight: number): LedgerParts => {
    const key = `${account} ${weight}`;
    const known = ledgers.get(key) ?? { account, weight, opening: new Map(), closing: new Map() };
    ledgers.set(key, known);
    return known;
  };

  for (const state of transition === null ? [] : reads) {
    const { moves, booked, asked } = transition!(state);
    for (const [target, node] of moves) {
      const groups = byTarget.get(target) ?? new Map<number, number[]>();
      byTarget.set(target, groups);
      group(graph, groups, settled.of(node), state);
    }
    for (const [point, amounts] of booked) {
      for (const [account, node] of amounts)
        group(graph, ledger(account, weights.once(account, point)).opening, settled.of(node), state);
    }
    check(asked, state, false);
  }
  const targets = [...byTarget].filter(([, groups]) => groups.size > 0).map(([target]) => target);
  if (yearly !== null) {
    const lifeYears = { account: parts.weights.lifeYears, node: graph.constant(1) };
    const count = (state: number, at: "opening" | "closing"): void => {
      const { amounts } = yearly(state);
      const all = [...amounts].map(([account, node]) => ({ account, node }));
      for (const { account, node } of [...all, lifeYears]) {
        for (const one of weights.overTime(account))
          if (one[at]) group(graph, ledger(account, one.weight)[at], settled.of(node), state);
      }
    };
    for (const state of reads) count(state, "opening");
    for (const state of targets.sort((a, b) => a - b)) count(state, "closing");
    for (const state of ascending([...reads, ...targets])) check(yearly(state).asked, state, true);
  }

  const flows = ascending(targets).flatMap((target): readonly Flow[] =>
    [...byTarget.get(target)!].map(([coefficient, from]) => ({ target, coefficient, from: sets.row(from) })),
  );
  const counted = [...ledgers.values()].map((one) => ledgerOf(one, sets)).filter(({ terms }) => terms.length > 0);
  const terms = counted.flatMap((one) => one.terms);
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
    ledgers: counted,
    checks: [...checks].map(([guard, places]): Check => ({ guard, places })),
  };
}

/** Members by coefficient. */
type Grouped = Map<number, number[]>;

interface LedgerParts {
  readonly account: number;
  readonly weight: number;
  readonly opening: Grouped;
  readonly closing: Grouped;
}

function group(graph: Graph, groups: Grouped, node: number, state: number): void {
  if (graph.valueOf(node) === 0) return;
  const members = groups.get(node);
  if (members === undefined) groups.set(node, [state]);
  else members.push(state);
}

function ledgerOf({ account, weight, opening, closing }: LedgerParts, sets: RowSets): Ledger {
  const terms = [...new Set([...opening.keys(), ...closing.keys()])].map(
    (coefficient): Term => ({
      coefficient,
      opening: sets.row(opening.get(coefficient) ?? []),
      closing: sets.row(closing.get(coefficient) ?? []),
    }),
  );
  return { account, weight, terms };
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
