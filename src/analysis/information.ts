import { standardErrorOfMean } from "../numerics/designs/standard-error.ts";
import { mean } from "../numerics/moments.ts";
import { highestNetBenefit } from "./net-benefit.ts";
import { fillNetBenefit } from "./net-benefit-draws.ts";
import { drawCount, expectations, type StrategyDraws } from "./strategy-draws.ts";

/** What uncertainty costs at one threshold, per person and in money. */
export interface PerfectInformation {
  readonly threshold: number;
  /** The strategy with the highest expected net benefit. */
  readonly best: string;
  /** Expected value of perfect information: `mean(max) - max(mean)` of net benefit; 0 or more. */
  readonly evpi: number;
  /** Monte Carlo standard error of `evpi`; null for a single draw. */
  readonly standardError: number | null;
  /** By strategy id, the net benefit expected to be lost against knowing the truth; the smallest of them is `evpi`. */
  readonly expectedLoss: Readonly<Record<string, number>>;
}

/**
 * Expected value of perfect information and expected losses, one entry per threshold.
 *
 * Each strategy's loss is averaged draw by draw, not as a difference of two large means, so a strategy that is best in
 * every draw has an expected loss of exactly 0. The standard error is that of the chosen strategy's mean loss; it takes
 * the choice as settled, which `sufficiency` checks. Fails loudly on draws that do not fit together (see `drawCount`).
 * @param thresholds money per unit of effect, each 0 or more
 * @param randomisations number of independent randomisations the draws are dealt to in turn; 1 for plain draws
 *
 * Source: Briggs, Claxton, Sculpher, Decision Modelling for Health Economic Evaluation, 2006, ch. 6 (from memory).
 * @example perfectInformation([{ id: "a", cost: Float64Array.of(1, 2), effect: Float64Array.of(1, 1) }], [9])[0]?.evpi // 0
 */
export function perfectInformation(
  strategies: readonly StrategyDraws[],
  thresholds: readonly number[],
  randomisations = 1,
): readonly PerfectInformation[] {
  const draws = drawCount(strategies);
  const expected = expectations(strategies);
  // The highest net benefit in each draw, and one strategy's net benefit or loss: N numbers each.
  const highest = new Float64Array(draws);
  const loss = new Float64Array(draws);
  return thresholds.map((threshold) => {
    fillHighest(highest, loss, strategies, threshold);
    const best = highestNetBenefit(expected, threshold).id;
    let standardError: number | null = null;
    const losses = strategies.map((strategy): [string, number] => {
      fillNetBenefit(loss, strategy, threshold);
      for (let k = 0; k < draws; k++) loss[k] = highest[k]! - loss[k]!;
      if (strategy.id === best && draws > 1) standardError = standardErrorOfMean(loss, { randomisations });
      return [strategy.id, mean(loss)];
    });
    return {
      threshold,
      best,
      evpi: Math.min(...losses.map(([, expectedLoss]) => expectedLoss)),
      standardError,
      expectedLoss: Object.fromEntries(losses),
    };
  });
}

function fillHighest(
  highest: Float64Array,
  row: Float64Array,
  strategies: readonly StrategyDraws[],
  threshold: number,
): void {
  highest.fill(Number.NEGATIVE_INFINITY);
  for (const strategy of strategies) {
    fillNetBenefit(row, strategy, threshold);
    for (let k = 0; k < highest.length; k++) if (row[k]! > highest[k]!) highest[k] = row[k]!;
  }
}
