import { type CostAndEffect, comparePair } from "./pairwise.ts";
import { isTie } from "./tie.ts";

/** Where each option stands, as indices into the list given. */
export interface Frontier {
  /** Members from least to most effect; cost and ratio rise along it. */
  readonly members: readonly number[];
  /** Option -> the earlier option it is tied with in cost and in effect. */
  readonly equalTo: ReadonlyMap<number, number>;
  /** Option -> an option that yields at least as much for at most the same cost. */
  readonly dominatedBy: ReadonlyMap<number, number>;
  /** Option -> the frontier members below and above it, a mix of which yields as much at no more cost. */
  readonly mixedBy: ReadonlyMap<number, readonly [number, number]>;
}

/**
 * The cost-effectiveness frontier of a list of options, with the reason each other option is off it.
 *
 * Later copies of an option are set aside first, then the strongly dominated. The rest rise in effect and in cost, and
 * extended dominance is repeated until the ratios rise strictly: removing one option changes the ratio of the next, so
 * a single pass would leave some behind. An option exactly on the line between its neighbours is removed too.
 * Whatever the threshold, one of the members has the highest net benefit, up to the tolerance of `isTie`.
 * An empty list gives an empty frontier.
 *
 * Source: Drummond et al., Methods for the Economic Evaluation of Health Care Programmes, 2015, incremental analysis
 * (from memory); the repetition is Andrew's monotone chain for a convex hull (1979, from memory).
 * @example frontier([{ cost: 0, effect: 0 }, { cost: 5, effect: 1 }, { cost: 5, effect: 2 }]).members // [0, 2]
 */
export function frontier(options: readonly CostAndEffect[]): Frontier {
  const equalTo = earlierCopies(options);
  const distinct = indices(options).filter((i) => !equalTo.has(i));
  const dominators = new Map(distinct.map((i) => [i, distinct.filter((j) => dominates(options, j, i))]));
  const undominated = distinct
    .filter((i) => dominators.get(i)?.length === 0)
    .sort((i, j) => at(options, i).effect - at(options, j).effect);
  const members = risingRatios(options, undominated);

  const dominatedBy = new Map<number, number>();
  for (const i of distinct) {
    const candidates = dominators.get(i) ?? [];
    // The cheapest frontier member that dominates is the most telling comparison; an option may instead be beaten only
    // by one that is itself off the frontier.
    const named = [...members, ...undominated, ...candidates].find((j) => candidates.includes(j));
    if (named !== undefined) dominatedBy.set(i, named);
  }
  const mixedBy = new Map<number, readonly [number, number]>();
  for (const i of undominated) {
    const next = members.findIndex((m) => at(options, m).effect >= at(options, i).effect);
    if (members.at(next) !== i) mixedBy.set(i, [at(members, next - 1), at(members, next)]);
  }
  return { members, equalTo, dominatedBy, mixedBy };
}

function earlierCopies(options: readonly CostAndEffect[]): Map<number, number> {
  const copies = new Map<number, number>();
  const kept: number[] = [];
  for (const i of indices(options)) {
    const original = kept.find((j) => comparePair(at(options, i), at(options, j)).kind === "equal");
    if (original === undefined) kept.push(i);
    else copies.set(i, original);
  }
  return copies;
}

function dominates(options: readonly CostAndEffect[], i: number, j: number): boolean {
  return comparePair(at(options, i), at(options, j)).kind === "dominates";
}

/** The members left once no ratio is as high as the next; `order` rises strictly in effect and in cost. */
function risingRatios(options: readonly CostAndEffect[], order: readonly number[]): number[] {
  const chain: number[] = [];
  for (const i of order) {
    while (chain.length >= 2) {
      const reached = ratio(options, at(chain, -2), at(chain, -1));
      const offered = ratio(options, at(chain, -1), i);
      if (reached < offered && !isTie(reached, offered)) break;
      chain.pop();
    }
    chain.push(i);
  }
  return chain;
}

function ratio(options: readonly CostAndEffect[], from: number, to: number): number {
  const a = at(options, from);
  const b = at(options, to);
  return (b.cost - a.cost) / (b.effect - a.effect);
}

function indices(options: readonly CostAndEffect[]): number[] {
  return options.map((_, i) => i);
}

function at<T>(list: readonly T[], index: number): T {
  const found = list.at(index);
  if (found === undefined) throw new Error(`no entry ${index} in a list of ${list.length}`);
  return found;
}
