import { compensatedSum } from "../numerics/sum.ts";
import { drawCount, type StrategyDraws } from "./strategy-draws.ts";
import { compareWithTies } from "./tie.ts";

/** Net monetary benefit of every strategy in every draw at one threshold; refilled in place for the next threshold. */
export interface NetBenefitDraws {
  /** One row of N draws per strategy, in the order of the strategies, in money. */
  readonly rows: readonly Float64Array[];
  /** Expected net benefit of each strategy: the mean of its row. */
  readonly means: Float64Array;
}

/**
 * Room for the net benefit of these strategies, all zero until `fillNetBenefit`.
 *
 * Fails loudly on draws that do not fit together (see `drawCount`).
 */
export function netBenefitRoom(strategies: readonly StrategyDraws[]): NetBenefitDraws {
  const count = drawCount(strategies);
  // S rows of N numbers, and S means.
  return {
    rows: strategies.map(() => new Float64Array(count)),
    means: new Float64Array(strategies.length),
  };
}

/** Fills the room with `lambda E - C` and its means, summed in draw order with compensation. */
export function fillNetBenefit(room: NetBenefitDraws, strategies: readonly StrategyDraws[], threshold: number): void {
  for (const [s, { cost, effect }] of strategies.entries()) {
    const row = rowOf(room, s);
    for (let k = 0; k < row.length; k++) row[k] = threshold * effect[k]! - cost[k]!;
    room.means[s] = compensatedSum(row) / row.length;
  }
}

/** The net benefits of strategy `s`, by draw. */
export function rowOf(room: NetBenefitDraws, s: number): Float64Array {
  const row = room.rows.at(s);
  if (row === undefined) throw new Error(`no strategy ${s} among ${room.rows.length}`);
  return row;
}

/**
 * The index of the strategy with the highest expected net benefit; of tied ones (see `isTie`) the first, so that
 * rounding never makes the choice.
 */
export function bestByExpectation(means: ArrayLike<number>): number {
  let best = 0;
  for (let s = 1; s < means.length; s++) {
    if (compareWithTies(means[s]!, means[best]!) > 0) best = s;
  }
  return best;
}
