import type { StrategyDraws } from "./strategy-draws.ts";

/**
 * Fills `row` with one strategy's net monetary benefit `lambda E - C` in each draw, in money.
 * @param row as long as the draws; overwritten
 * @param threshold lambda, money per unit of effect, 0 or more
 */
export function fillNetBenefit(row: Float64Array, strategy: StrategyDraws, threshold: number): void {
  const { cost, effect } = strategy;
  for (let k = 0; k < row.length; k++) row[k] = threshold * effect[k]! - cost[k]!;
}
