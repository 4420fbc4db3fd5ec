import { compareWithTies } from "./tie.ts";

/** What a strategy or a person costs and yields: money and units of effect (QALYs, life-years, events averted). */
export interface CostAndEffect {
  readonly cost: number;
  readonly effect: number;
}

/** The quadrant of the cost-effectiveness plane in which one option lies, seen from another. */
export type PairKind =
  | "dominates"
  | "is dominated"
  | "costs more and yields more"
  | "costs less and yields less"
  | "equal";

/** One option seen from another; differences are option minus reference. */
export interface PairComparison {
  readonly kind: PairKind;
  /** Money; positive when the option costs more. */
  readonly deltaCost: number;
  /** Units of effect; positive when the option yields more. */
  readonly deltaEffect: number;
  /** Cost per unit gained, or saving per unit given up; always positive, and null where neither is a bargain to judge. */
  readonly ratio: number | null;
}

/**
 * How an option compares with a reference, by quadrant.
 *
 * The same ratio means opposite things in the two trade-off quadrants (pay it per unit gained, receive it per unit
 * given up), hence the kind; where one option is at least as good on both sides there is no ratio at all. Differences
 * below 1e-9 of the larger magnitude count as none: equal effect at less cost dominates, and so does more effect at
 * equal cost. The differences themselves are reported unrounded.
 *
 * Source: Drummond et al., Methods for the Economic Evaluation of Health Care Programmes, 2015, the
 * cost-effectiveness plane (from memory).
 * @example comparePair({ cost: 300, effect: 3 }, { cost: 100, effect: 1 }).ratio // 100
 */
export function comparePair(option: CostAndEffect, reference: CostAndEffect): PairComparison {
  const deltaCost = option.cost - reference.cost;
  const deltaEffect = option.effect - reference.effect;
  const kind = pairKind(option.cost, option.effect, reference.cost, reference.effect);
  const isTrade = kind === "costs more and yields more" || kind === "costs less and yields less";
  return { kind, deltaCost, deltaEffect, ratio: isTrade ? deltaCost / deltaEffect : null };
}

/**
 * The quadrant alone, from bare numbers, for loops over draws.
 * @example pairKind(5, 1, 7, 1) // "dominates"
 */
export function pairKind(cost: number, effect: number, referenceCost: number, referenceEffect: number): PairKind {
  const dearer = compareWithTies(cost, referenceCost);
  const better = compareWithTies(effect, referenceEffect);
  if (dearer === 0 && better === 0) return "equal";
  if (dearer <= 0 && better >= 0) return "dominates";
  if (dearer >= 0 && better <= 0) return "is dominated";
  return dearer > 0 ? "costs more and yields more" : "costs less and yields less";
}
