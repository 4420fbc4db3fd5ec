import { bestByExpectation, fillNetBenefit, netBenefitRoom } from "./net-benefit-draws.ts";
import type { StrategyDraws } from "./strategy-draws.ts";
import { isTie } from "./tie.ts";

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
 * A draw in which several strategies are tied for the highest net benefit (see `isTie`) is split equally among them.
 * The frontier follows the highest *expected* net benefit, so it may lie below another strategy's curve: a strategy can
 * win rarely and yet win most.
 * @param thresholds money per unit of effect, each 0 or more
 *
 * Source: Fenwick, Claxton, Sculpher, Health Econ 2001;10:779-787 (from memory).
 * @example acceptability([{ id: "a", cost: Float64Array.of(1), effect: Float64Array.of(1) }], [0]).frontier // [1]
 */
export function acceptability(strategies: readonly StrategyDraws[], thresholds: readonly number[]): Acceptability {
  const room = netBenefitRoom(strategies);
  const wins = new Float64Array(strategies.length);
  const curves: [string, number[]][] = strategies.map(({ id }) => [id, []]);
  const best: string[] = [];
  const frontier: number[] = [];
  for (const threshold of thresholds) {
    fillNetBenefit(room, strategies, threshold);
    countWins(wins, room.rows);
    const chosen = bestByExpectation(room.means);
    for (const [s, [id, curve]] of curves.entries()) {
      const share = wins[s]! / room.rows[s]!.length;
      curve.push(share);
      if (s === chosen) {
        best.push(id);
        frontier.push(share);
      }
    }
  }
  return { thresholds: [...thresholds], curves: Object.fromEntries(curves), best, frontier };
}

/** Adds up each strategy's wins, ties shared, into `wins`. */
function countWins(wins: Float64Array, rows: readonly Float64Array[]): void {
  wins.fill(0);
  const strategies = rows.length;
  const draws = rows[0]?.length ?? 0;
  for (let k = 0; k < draws; k++) {
    let highest = Number.NEGATIVE_INFINITY;
    for (let s = 0; s < strategies; s++) highest = Math.max(highest, rows[s]![k]!);
    let tied = 0;
    for (let s = 0; s < strategies; s++) if (isTie(rows[s]![k]!, highest)) tied += 1;
    for (let s = 0; s < strategies; s++) if (isTie(rows[s]![k]!, highest)) wins[s] = wins[s]! + 1 / tied;
  }
}
