import type { Option } from "./increments.ts";
import { highestNetBenefit } from "./net-benefit.ts";
import { expectations, type StrategyDraws } from "./strategy-draws.ts";
import { contest, countWins, shareOf } from "./wins.ts";

/** How sure the choice is at each threshold; every list runs along `thresholds`. */
export interface Acceptability {
  readonly thresholds: readonly number[];
  /** By strategy id, the share of draws in which it has the highest net benefit of all; 0 to 1, summing to 1. */
  readonly curves: Readonly<Record<string, readonly number[]>>;
  /** The strategy with the highest expected net benefit: the one to choose. */
  readonly best: readonly string[];
  /** The curve of that strategy: the probability that the choice is the right one. */
  readonly frontier: readonly number[];
}

/**
 * Acceptability curves over all strategies together, and their frontier.
 *
 * A draw in which several strategies are tied for the highest net benefit (see `netBenefitMargin`) is split equally
 * among them. The frontier follows the highest *expected* net benefit, so it may lie below another strategy's curve: a
 * strategy can win rarely and yet win most. Fails loudly on draws that do not fit together (see `drawCount`).
 * @param thresholds money per unit of effect, each 0 or more
 *
 * Source: Fenwick, Claxton, Sculpher, Health Econ 2001;10:779-787 (from memory).
 * @example acceptability([{ id: "a", cost: Float64Array.of(1), effect: Float64Array.of(1) }], [0]).frontier // [1]
 */
export function acceptability(strategies: readonly StrategyDraws[], thresholds: readonly number[]): Acceptability {
  const expected = expectations(strategies);
  const room = contest(strategies);
  const wins = thresholds.map((threshold) => {
    countWins(room, strategies, threshold);
    return room.wins.slice();
  });
  return acceptabilityOf(expected, thresholds, wins, room.highest.length);
}

/** The same from expected costs and effects and from the wins counted at each threshold (see `Contest`) in so many draws. */
export function acceptabilityOf(
  expected: readonly Option[],
  thresholds: readonly number[],
  wins: readonly Float64Array[],
  draws: number,
): Acceptability {
  const curves: [string, number[]][] = expected.map(({ id }) => [id, []]);
  const best: string[] = [];
  const frontier: number[] = [];
  for (const [t, threshold] of thresholds.entries()) {
    const chosen = highestNetBenefit(expected, threshold).id;
    best.push(chosen);
    for (const [s, [id, curve]] of curves.entries()) {
      const share = shareOf(wins[t]!, s, draws);
      curve.push(share);
      if (id === chosen) frontier.push(share);
    }
  }
  return { thresholds: [...thresholds], curves: Object.fromEntries(curves), best, frontier };
}
