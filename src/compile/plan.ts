import type { Graph } from "./graph.ts";
import type { Account } from "./program.ts";

/**
 * What a strategy's run computes, in terms any evaluator can follow: membership moves by linear flows whose
 * coefficients are nodes of the graph, and accounts add up terms of the same kind.
 *
 * A *row* is a number per lane: rows 0 to `states - 1` are the joint states, row `states + k` is the sum of set k of the
 * transfer at hand. There are two banks of rows, the opening and the closing membership; a cycle writes the second from
 * the first, then they change places. Sums run in the order of their lists and start from the first term; that order is
 * part of the plan, so all evaluators give the same bits. The dead have no row: they accrue nothing.
 */
export interface Plan {
  readonly strategy: number;
  readonly graph: Graph;
  readonly states: number;
  readonly cycles: number;
  /** Accounts of the program; `accounts` itself is the number under which undiscounted life years add up. */
  readonly accounts: number;
  readonly weights: readonly Weight[];
  readonly tallies: readonly Tally[];
  readonly start: Start;
  readonly segments: readonly Segment[];
  /** Amounts at the last boundary, where counting is by boundary. */
  readonly last: Transfer | null;
}

/** All transfers of a plan, each once. */
export function transfersOf(plan: Plan): ReadonlySet<Transfer> {
  return new Set([
    ...plan.segments.flatMap(({ instants, transfer }) => [...instants.map((step) => step.transfer), transfer]),
    ...(plan.last === null ? [] : [plan.last]),
  ]);
}

/** Shares of the joint states at the start; what is checked has no state. */
export interface Start {
  readonly shares: readonly Share[];
  readonly checks: readonly Check[];
}

/** A joint state's share of the starters, a node. */
export interface Share {
  readonly state: number;
  readonly coefficient: number;
}

/** Cycles `from` to before `to` that run alike. Instants fire at the opening of the first. */
export interface Segment {
  readonly from: number;
  readonly to: number;
  readonly instants: readonly InstantStep[];
  /** States that the transfer reads and nothing has written before: they are empty. */
  readonly clear: readonly number[];
  readonly transfer: Transfer;
}

/** One event at one boundary, in the groups where it fires. In the others `idleClear` become empty states. */
export interface InstantStep {
  readonly firing: readonly boolean[];
  readonly transfer: Transfer;
  readonly idleClear: readonly number[];
}

/** From opening to closing membership, and what is counted on the way. */
export interface Transfer {
  readonly reads: readonly number[];
  /** States that get a value: sums of flows, or 0 where none leads. */
  readonly writes: readonly number[];
  /** States whose members are added up. */
  readonly sets: readonly (readonly number[])[];
  /** Sets whose opening sums are needed before the first cycle of a run. */
  readonly entrySets: readonly number[];
  /** Sets whose closing sums are needed, by a term or as the opening sums of the next cycle alike. */
  readonly closingSets: readonly number[];
  /** By target; `target` is a state, `from` an opening row. */
  readonly flows: readonly Flow[];
  readonly counts: readonly Count[];
  readonly checks: readonly Check[];
}

/** A share of the members of a row that goes to a state. */
export interface Flow {
  readonly target: number;
  readonly coefficient: number;
  readonly from: number;
}

/**
 * A running sum per lane over all cycles: weight times what transfers count. At the end each account gets factor times
 * sum of its tallies, in their order; factors are nodes that are the same in all cycles.
 */
export interface Tally {
  readonly weight: number;
  readonly worth: readonly { readonly account: number; readonly factor: number }[];
}

/** Adds weight times the sum of the terms to a tally. */
export interface Count {
  readonly tally: number;
  readonly terms: readonly Term[];
}

/** Coefficient times an opening row, a closing row, or the sum of the two; -1 stands for none. */
export interface Term {
  readonly coefficient: number;
  readonly opening: number;
  readonly closing: number;
}

/** A factor per cycle: discount at a point of the cycle, times `scale`, times the counting weight of the boundary. */
export interface Weight {
  readonly discount: Account["discount"];
  readonly point: "start" | "events" | "middle" | "end";
  readonly scale: number;
  readonly boundary: boolean;
}

/** A guard whose value must meet its demand wherever one of the places has people. */
export interface Check {
  readonly guard: number;
  readonly places: readonly CheckPlace[];
}

/** People of a state at the opening, or of either end of the cycle; only if the node `via` is not 0. Null: everybody. */
export interface CheckPlace {
  readonly state: number | null;
  readonly either: boolean;
  readonly via: number | null;
}
