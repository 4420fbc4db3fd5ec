import { compareNetBenefit } from "./net-benefit.ts";
import { drawCount, type StrategyDraws } from "./strategy-draws.ts";
import { tieMargin } from "./tie.ts";

/** Room for the contest between S strategies in N draws at one threshold after another. */
export interface Contest {
  /**
   * S rows of S whole numbers: at place `m - 1` of row `s` the draws strategy `s` wins as one of `m` winners. Counting
   * keeps the shares exact where adding thirds would not.
   */
  readonly wins: Float64Array;
  /** N numbers each: the two highest net benefits of a draw, and the strategy that has the highest. */
  readonly highest: Float64Array;
  readonly runnerUp: Float64Array;
  readonly leader: Int32Array;
  /** N numbers each: the largest cost and the largest effect in a draw, by magnitude. */
  readonly largestCost: Float64Array;
  readonly largestEffect: Float64Array;
}

/** An empty contest between these strategies. Fails loudly on draws that do not fit together (see `drawCount`). */
export function contest(strategies: readonly StrategyDraws[]): Contest {
  const draws = drawCount(strategies);
  const largest = (columns: readonly Float64Array[]): Float64Array => {
    const magnitude = new Float64Array(draws);
    for (const column of columns) {
      for (let k = 0; k < draws; k++) magnitude[k] = Math.max(magnitude[k]!, Math.abs(column[k]!));
    }
    return magnitude;
  };
  return {
    wins: new Float64Array(strategies.length * strategies.length),
    highest: new Float64Array(draws),
    runnerUp: new Float64Array(draws),
    leader: new Int32Array(draws),
    largestCost: largest(strategies.map((s) => s.cost)),
    largestEffect: largest(strategies.map((s) => s.effect)),
  };
}

/** Fills `wins` for one threshold (money per unit of effect, 0 or more); ties are those of `compareNetBenefit`. */
export function countWins(room: Contest, strategies: readonly StrategyDraws[], threshold: number): void {
  const { wins, highest, runnerUp, leader, largestCost, largestEffect } = room;
  const draws = highest.length;
  const count = strategies.length;
  rank(room, strategies, threshold);
  wins.fill(0);
  for (let k = 0; k < draws; k++) {
    // No margin between two strategies of this draw exceeds this one, so most draws need no closer look.
    const margin = tieMargin(largestCost[k]!, threshold * largestEffect[k]!);
    if (highest[k]! - runnerUp[k]! > margin) {
      const place = leader[k]! * count;
      wins[place] = wins[place]! + 1;
    } else shareDraw(wins, strategies, threshold, k, leader[k]!);
  }
}

/** The share of all draws that strategy `s` wins, a draw won by several split equally; 0 to 1. */
export function shareOfWins({ wins, highest }: Contest, s: number): number {
  return shareOf(wins, s, highest.length);
}

/** The same from counted wins alone, of so many draws. */
export function shareOf(wins: Float64Array, s: number, draws: number): number {
  const count = Math.sqrt(wins.length);
  let won = 0;
  for (let winners = count; winners >= 1; winners--) won += wins[s * count + winners - 1]! / winners;
  return won / draws;
}

function rank(room: Contest, strategies: readonly StrategyDraws[], threshold: number): void {
  const { highest, runnerUp, leader } = room;
  highest.fill(Number.NEGATIVE_INFINITY);
  runnerUp.fill(Number.NEGATIVE_INFINITY);
  for (const [s, { cost, effect }] of strategies.entries()) {
    for (let k = 0; k < highest.length; k++) {
      const netBenefit = threshold * effect[k]! - cost[k]!;
      if (netBenefit > highest[k]!) {
        runnerUp[k] = highest[k]!;
        highest[k] = netBenefit;
        leader[k] = s;
      } else if (netBenefit > runnerUp[k]!) runnerUp[k] = netBenefit;
    }
  }
}

function shareDraw(
  wins: Float64Array,
  strategies: readonly StrategyDraws[],
  threshold: number,
  k: number,
  leader: number,
): void {
  const count = strategies.length;
  const cost = strategies[leader]!.cost[k]!;
  const effect = strategies[leader]!.effect[k]!;
  const isWinner = (s: number): boolean =>
    compareNetBenefit(threshold, strategies[s]!.cost[k]!, strategies[s]!.effect[k]!, cost, effect) === 0;
  let winners = 0;
  for (let s = 0; s < count; s++) if (isWinner(s)) winners += 1;
  for (let s = 0; s < count; s++) {
    const place = s * count + winners - 1;
    if (isWinner(s)) wins[place] = wins[place]! + 1;
  }
}
