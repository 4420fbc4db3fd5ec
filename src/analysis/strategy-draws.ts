import { mean } from "../numerics/moments.ts";
import type { Option } from "./increments.ts";

/** What one strategy costs (money) and yields (units of effect) in each draw, in draw order. */
export interface StrategyDraws {
  readonly id: string;
  readonly cost: Float64Array;
  readonly effect: Float64Array;
}

/**
 * The number of draws all strategies share.
 *
 * Fails loudly when there is no strategy, no draw, an id given twice, a strategy of another length or a number that is
 * not finite: draw `k` means the same world in every strategy, and one hole would make every average meaningless.
 * @example drawCount([{ id: "a", cost: Float64Array.of(1, 2), effect: Float64Array.of(3, 4) }]) // 2
 */
export function drawCount(strategies: readonly StrategyDraws[]): number {
  const first = strategies.at(0);
  if (first === undefined) throw new Error("no strategies to summarise");
  const count = first.cost.length;
  if (count === 0) throw new Error("no draws to summarise");
  const ids = new Set<string>();
  for (const { id, cost, effect } of strategies) {
    if (ids.has(id)) throw new Error(`strategy "${id}" is given twice`);
    ids.add(id);
    if (cost.length !== count || effect.length !== count) {
      throw new Error(
        `strategy "${id}" has ${cost.length} costs and ${effect.length} effects, found ${count} elsewhere`,
      );
    }
    for (let k = 0; k < count; k++) {
      if (!Number.isFinite(cost[k]) || !Number.isFinite(effect[k])) {
        throw new Error(`strategy "${id}" is not finite in draw ${k}`);
      }
    }
  }
  return count;
}

/**
 * Expected cost and effect of each strategy: the means of its draws.
 *
 * Fails loudly on draws that do not fit together (see `drawCount`).
 * @example expectations([{ id: "a", cost: Float64Array.of(1, 2), effect: Float64Array.of(3, 4) }])[0]?.cost // 1.5
 */
export function expectations(strategies: readonly StrategyDraws[]): readonly Option[] {
  drawCount(strategies);
  return strategies.map(({ id, cost, effect }) => ({ id, cost: mean(cost), effect: mean(effect) }));
}
