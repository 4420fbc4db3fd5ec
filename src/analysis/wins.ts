import { compareNetBenefit } from "./net-benefit.ts";
import { drawCount, type StrategyDraws } from "./strategy-draws.ts";
import { tieMargin } from "./tie.ts";

/** Room for the contest between S strategies in N draws at one threshold after another, some draws at a time. */
export interface Contest {
  readonly draws: number;
  /**
   * S rows of S whole numbers: at place `m - 1` of row `s` the draws strategy `s` wins as one of `m` winners. Counting
   * keeps the shares exact where adding thirds would not.
   */
  readonly wins: Float64Array;
  /** Of the draws at hand: the two highest net benefits of a draw, and the strategy that has the highest. */
  readonly highest: Float64Array;
  readonly runnerUp: Float64Array;
  readonly leader: Int32Array;
  /** The largest cost and the largest effect in a draw, by magnitude. */
  readonly largestCost: Float64Array;
  readonly largestEffect: Float64Array;
}

/** Draws taken together: few enough to stay in a cache. */
const drawsAtHand = 4096;

/** An empty contest between these strategies. Fails loudly on draws that do not fit together (see `drawCount`). */
export function contest(strategies: readonly StrategyDraws[]): Contest {
  const draws = drawCount(strategies);
  const numbers = (): Float64Array => new Float64Array(Math.min(draws, drawsAtHand));
  return {
    draws,
    wins: new Float64Array(strategies.length * strategies.length),
    highest: numbers(),
    runnerUp: numbers(),
    leader: new Int32Array(Math.min(draws, drawsAtHand)),
    largestCost: numbers(),
    largestEffect: numbers(),
  };
}

/** Fills `wins` for one threshold (money per unit of effect, 0 or more); ties are those of `compareNetBenefit`. */
export function countWins(room: Contest, strategies: readonly StrategyDraws[], threshold: number): void {
  const { draws, wins, highest, runnerUp, leader, largestCost, largestEffect } = room;
  const count = strategies.length;
  wins.fill(0);
  for (let from = 0; from < draws; from += drawsAtHand) {
    const some = Math.min(drawsAtHand, draws - from);
    rank(room, strategies, threshold, from, some);
    for (let k = 0; k < some; k++) {
      // No margin between two strategies of this draw exceeds this one, so most draws need no closer look.
      const margin = tieMargin(largestCost[k]!, threshold * largestEffect[k]!);
      if (highest[k]! - runnerUp[k]! > margin) {
        const place = leader[k]! * count;
        wins[place] = wins[place]! + 1;
      } else shareDraw(wins, strategies, threshold, from + k, leader[k]!);
    }
  }
}

/** The share of all draws that strategy `s` wins, a draw won by several split equally; 0 to 1. */
export function shareOfWins({ wins, draws }: Contest, s: number): number {
  return shareOf(wins, s, draws);
}

/** The same from counted wins alone, of so many draws. */
export function shareOf(wins: Float64Array, s: number, draws: number): number {
  const count = Math.sqrt(wins.length);
  let won = 0;
  for (let winners = count; winners >= 1; winners--) won += wins[s * count + winners - 1]! / winners;
  return won / draws;
}

function rank(
  room: Contest,
  strategies: readonly StrategyDraws[],
  threshold: number,
  from: number,
  some: number,
): void {
  const { highest, runnerUp, leader, largestCost, largestEffect } = room;
  highest.fill(Number.NEGATIVE_INFINITY);
  runnerUp.fill(Number.NEGATIVE_INFINITY);
  largestCost.fill(0);
  largestEffect.fill(0);
  for (const [s, { cost, effect }] of strategies.entries()) {
    for (let k = 0; k < some; k++) {
      const [ownCost, ownEffect] = [cost[from + k]!, effect[from + k]!];
      largestCost[k] = Math.max(largestCost[k]!, Math.abs(ownCost));
      largestEffect[k] = Math.max(largestEffect[k]!, Math.abs(ownEffect));
      const netBenefit = threshold * ownEffect - ownCost;
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
