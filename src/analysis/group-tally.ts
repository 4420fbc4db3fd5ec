import { CompensatedSum } from "../numerics/sum.ts";
import { type Acceptability, acceptabilityOf } from "./acceptability.ts";
import type { Option } from "./increments.ts";
import type { StrategyDraws } from "./strategy-draws.ts";
import { contest, countWins } from "./wins.ts";

/** What is kept of the draws of one group. */
export interface GroupDraws {
  /** Mean cost and effect of each compared strategy. */
  readonly expected: readonly Option[];
  readonly acceptability: Acceptability;
}

/**
 * Sums up a group's draws as they come, one stretch after the other in the order of the draws: with the bits of means and
 * shares over all of them at once, but without keeping them.
 */
export class GroupTally {
  private readonly ids: readonly string[];
  private readonly thresholds: readonly number[];
  private readonly costs: readonly CompensatedSum[];
  private readonly effects: readonly CompensatedSum[];
  private readonly wins: readonly Float64Array[];
  private draws = 0;

  /** `thresholds` in money per unit of effect, each 0 or more. */
  constructor(ids: readonly string[], thresholds: readonly number[]) {
    this.ids = ids;
    this.thresholds = thresholds;
    this.costs = ids.map(() => new CompensatedSum());
    this.effects = ids.map(() => new CompensatedSum());
    this.wins = thresholds.map(() => new Float64Array(ids.length * ids.length));
  }

  /** The next draws of all strategies. Fails loudly on draws that do not fit together (see `drawCount`). */
  add(stretch: readonly StrategyDraws[]): void {
    const room = contest(stretch);
    for (const [s, { cost, effect }] of stretch.entries()) {
      const [costs, effects] = [this.costs[s]!, this.effects[s]!];
      for (let k = 0; k < cost.length; k++) {
        costs.add(cost[k]!);
        effects.add(effect[k]!);
      }
    }
    for (const [t, threshold] of this.thresholds.entries()) {
      countWins(room, stretch, threshold);
      const wins = this.wins[t]!;
      // counts, so that no order matters
      for (let i = 0; i < wins.length; i++) wins[i]! += room.wins[i]!;
    }
    this.draws += room.highest.length;
  }

  /** What the draws so far say; at least one. */
  summary(): GroupDraws {
    const { draws } = this;
    const expected = this.ids.map((id, s) => ({
      id,
      cost: this.costs[s]!.total() / draws,
      effect: this.effects[s]!.total() / draws,
    }));
    return { expected, acceptability: acceptabilityOf(expected, this.thresholds, this.wins, draws) };
  }
}
