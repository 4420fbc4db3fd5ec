import type { CostAndEffect } from "./pairwise.ts";
import { compareWithTies, tieMargin } from "./tie.ts";

/**
 * Net monetary benefit `lambda E - C`, in money.
 * @param threshold lambda, money per unit of effect, 0 or more
 * @example netMonetaryBenefit(30_000, 100, 2) // 59900
 */
export function netMonetaryBenefit(threshold: number, cost: number, effect: number): number {
  return threshold * effect - cost;
}

/**
 * Net health benefit `E - C / lambda`, in units of effect.
 * @param threshold lambda, money per unit of effect, above 0: at 0 no amount of health buys back money, so it is refused
 * @example netHealthBenefit(20_000, 10_000, 2) // 1.5
 */
export function netHealthBenefit(threshold: number, cost: number, effect: number): number {
  if (!(threshold > 0)) throw new Error(`net health benefit needs a threshold above 0, found ${threshold}`);
  return effect - cost / threshold;
}

/**
 * The difference in net benefit, in money, below which two options are tied: 1e-9 of the largest of their costs and
 * valued effects. Net benefits near 0 come from parts that cancel, so their own size would say nothing about rounding.
 * @example netBenefitMargin(1000, 2e6, 2000, 0, 0) // 0.002
 */
export function netBenefitMargin(
  threshold: number,
  cost: number,
  effect: number,
  otherCost: number,
  otherEffect: number,
): number {
  return Math.max(tieMargin(cost, otherCost), tieMargin(threshold * effect, threshold * otherEffect));
}

/**
 * -1, 0 or 1: whether the first option's net benefit is smaller than the second's, tied with it (see
 * `netBenefitMargin`) or larger; from bare numbers, for loops over draws.
 * @example compareNetBenefit(100, 50, 1, 80, 1) // 1
 */
export function compareNetBenefit(
  threshold: number,
  cost: number,
  effect: number,
  otherCost: number,
  otherEffect: number,
): -1 | 0 | 1 {
  const lead = threshold * effect - cost - (threshold * otherEffect - otherCost);
  if (Math.abs(lead) <= netBenefitMargin(threshold, cost, effect, otherCost, otherEffect)) return 0;
  return lead < 0 ? -1 : 1;
}

/**
 * The option with the highest net benefit at a threshold.
 *
 * Rounding never chooses: of tied ones (see `netBenefitMargin`) the cheaper is taken, of equally cheap ones the one of
 * more effect, and of equal ones the first.
 * @param options at least one
 * @example highestNetBenefit([{ cost: 0, effect: 1 }, { cost: 10, effect: 2 }], 20).effect // 2
 */
export function highestNetBenefit<Each extends CostAndEffect>(options: readonly Each[], threshold: number): Each {
  return options.reduce((best, option) => (isPreferred(option, best, threshold) ? option : best));
}

function isPreferred(option: CostAndEffect, best: CostAndEffect, threshold: number): boolean {
  const lead = compareNetBenefit(threshold, option.cost, option.effect, best.cost, best.effect);
  if (lead !== 0) return lead > 0;
  const dearer = compareWithTies(option.cost, best.cost);
  if (dearer !== 0) return dearer < 0;
  return compareWithTies(option.effect, best.effect) > 0;
}
