import { covariance, mean, variance } from "../numerics/moments.ts";
import { covarianceEllipse, type Ellipse, type JointMoments } from "./ellipse.ts";
import { compareNetBenefit } from "./net-benefit.ts";
import { type PairKind, pairKind } from "./pairwise.ts";
import { drawCount, type StrategyDraws } from "./strategy-draws.ts";

/** One strategy's draws on the cost-effectiveness plane, seen from a reference strategy. */
export interface Cloud {
  readonly id: string;
  readonly reference: string;
  /** Effect and cost of the strategy minus those of the reference, by draw. */
  readonly deltaEffect: Float64Array;
  readonly deltaCost: Float64Array;
  /**
   * Share of draws by quadrant; they sum to 1. A draw on an axis belongs to the side that is at least as good or at
   * least as bad on both counts: equal effect at less cost dominates. Only draws equal in both count as "equal".
   */
  readonly quadrants: Readonly<Record<PairKind, number>>;
  /** Moments of the differences over the draws, `x` effect and `y` cost; null for a single draw. */
  readonly moments: JointMoments | null;
  /** Ellipse holding 95% of a normal with the draws' covariance, `x` effect and `y` cost; null for a single draw. */
  readonly ellipse: Ellipse | null;
}

const ellipseShare = 0.95;

/**
 * The cloud of incremental points of a strategy against a reference.
 *
 * Fails loudly on draws that do not fit together (see `drawCount`).
 *
 * Source: Briggs, Claxton, Sculpher, Decision Modelling for Health Economic Evaluation, 2006, ch. 5 (from memory).
 */
export function incrementalCloud(strategy: StrategyDraws, reference: StrategyDraws): Cloud {
  const draws = drawCount([strategy, reference]);
  const deltaEffect = new Float64Array(draws);
  const deltaCost = new Float64Array(draws);
  const counts: Record<PairKind, number> = {
    dominates: 0,
    "is dominated": 0,
    "costs more and yields more": 0,
    "costs less and yields less": 0,
    equal: 0,
  };
  for (let k = 0; k < draws; k++) {
    const [cost, effect] = [strategy.cost[k]!, strategy.effect[k]!];
    const [referenceCost, referenceEffect] = [reference.cost[k]!, reference.effect[k]!];
    deltaCost[k] = cost - referenceCost;
    deltaEffect[k] = effect - referenceEffect;
    counts[pairKind(cost, effect, referenceCost, referenceEffect)] += 1;
  }
  const moments = draws > 1 ? jointMoments(deltaEffect, deltaCost) : null;
  return {
    id: strategy.id,
    reference: reference.id,
    deltaEffect,
    deltaCost,
    quadrants: {
      dominates: counts.dominates / draws,
      "is dominated": counts["is dominated"] / draws,
      "costs more and yields more": counts["costs more and yields more"] / draws,
      "costs less and yields less": counts["costs less and yields less"] / draws,
      equal: counts.equal / draws,
    },
    moments,
    ellipse: moments === null ? null : covarianceEllipse(moments, ellipseShare),
  };
}

function jointMoments(x: Float64Array, y: Float64Array): JointMoments {
  return {
    meanX: mean(x),
    meanY: mean(y),
    varianceX: variance(x),
    varianceY: variance(y),
    covariance: covariance(x, y),
  };
}

/**
 * The share of draws under the ray `cost = threshold x effect`: those in which the strategy is worth its cost against
 * the reference. A draw on the ray (see `netBenefitMargin`) counts half, so this is the acceptability of the pair.
 * @param threshold money per unit of effect, 0 or more
 */
export function shareUnderThreshold(strategy: StrategyDraws, reference: StrategyDraws, threshold: number): number {
  const draws = drawCount([strategy, reference]);
  let halves = 0;
  for (let k = 0; k < draws; k++) {
    const [cost, effect] = [strategy.cost[k]!, strategy.effect[k]!];
    halves += 1 + compareNetBenefit(threshold, cost, effect, reference.cost[k]!, reference.effect[k]!);
  }
  return halves / 2 / draws;
}
