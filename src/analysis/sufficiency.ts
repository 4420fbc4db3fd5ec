import { standardErrorOfMean } from "../numerics/designs/standard-error.ts";
import { mean } from "../numerics/moments.ts";
import { highestNetBenefit, netBenefitMargin } from "./net-benefit.ts";
import { drawCount, expectations, type StrategyDraws } from "./strategy-draws.ts";

/** Whether the run is long enough to tell the best strategy from the second at one threshold. */
export interface Sufficiency {
  readonly threshold: number;
  readonly best: string;
  /** The runner-up by expected net benefit; null when there is but one strategy, which is then best for sure. */
  readonly second: string | null;
  /** Expected net benefit of the best minus that of the second, in money; 0 when there is no second. */
  readonly gap: number;
  /** Monte Carlo standard error of the gap, from the differences draw by draw. */
  readonly mcse: number;
  /** "tied": gap and error are below 1e-9 of the net benefits, so that no number of draws would part the two. */
  readonly verdict: "enough" | "more draws" | "tied";
  /** Draws at which the gap found would be 3 standard errors; null unless more are needed and the gap is not 0. */
  readonly drawsNeeded: number | null;
}

const requiredErrors = 3;

/**
 * Whether, at each threshold, the gap between the best and the second strategy is at least 3 Monte Carlo standard
 * errors, and if not, how many draws would make it so.
 *
 * Both are run in the same draws, so the error is that of the paired difference. The number of draws extrapolates
 * the error by `1 / sqrt(N)`; that holds for independent draws and for more randomisations of the same size, and it is
 * too many where quasi-random ones are made longer instead.
 * @param strategies with 2 draws or more
 * @param thresholds money per unit of effect, each 0 or more
 * @param randomisations number of independent randomisations the draws are dealt to in turn; 1 for plain draws
 *
 * Source: the rule of 3 standard errors is common practice.
 */
export function sufficiency(
  strategies: readonly StrategyDraws[],
  thresholds: readonly number[],
  randomisations = 1,
): readonly Sufficiency[] {
  const difference = new Float64Array(drawCount(strategies));
  const byId = new Map(strategies.map((s) => [s.id, s]));
  const expected = expectations(strategies);
  return thresholds.map((threshold) => {
    const best = highestNetBenefit(expected, threshold);
    const others = expected.filter((option) => option !== best);
    if (others.length === 0) {
      return { threshold, best: best.id, second: null, gap: 0, mcse: 0, verdict: "enough", drawsNeeded: null };
    }
    const second = highestNetBenefit(others, threshold);
    fillLead(difference, byId.get(best.id), byId.get(second.id), threshold);
    // Of tied strategies the first is best, so the gap may come out a rounding error below 0.
    const gap = Math.max(0, mean(difference));
    const mcse = standardErrorOfMean(difference, { randomisations });
    const margin = netBenefitMargin(threshold, best.cost, best.effect, second.cost, second.effect);
    const judgement = judged(gap, mcse, margin, difference.length);
    return { threshold, best: best.id, second: second.id, gap, mcse, ...judgement };
  });
}

/** Net benefit of one strategy minus that of another, by draw. */
function fillLead(
  lead: Float64Array,
  one: StrategyDraws | undefined,
  other: StrategyDraws | undefined,
  threshold: number,
): void {
  if (one === undefined || other === undefined) throw new Error("a strategy ranked has no draws");
  const { cost, effect } = one;
  const { cost: otherCost, effect: otherEffect } = other;
  for (let k = 0; k < lead.length; k++) {
    lead[k] = threshold * effect[k]! - cost[k]! - (threshold * otherEffect[k]! - otherCost[k]!);
  }
}

function judged(
  gap: number,
  mcse: number,
  margin: number,
  draws: number,
): Pick<Sufficiency, "verdict" | "drawsNeeded"> {
  const required = requiredErrors * mcse;
  if (gap <= margin && required <= margin) return { verdict: "tied", drawsNeeded: null };
  if (gap >= required) return { verdict: "enough", drawsNeeded: null };
  const drawsNeeded = gap > 0 ? Math.ceil(draws * (required / gap) * (required / gap)) : null;
  return { verdict: "more draws", drawsNeeded };
}
