import { acceptability } from "../analysis/acceptability.ts";
import type { DrawOutcomes } from "../analysis/draw-outcomes.ts";
import type { Ellipse } from "../analysis/ellipse.ts";
import { fieller, type RatioSet } from "../analysis/fieller.ts";
import { perfectInformation } from "../analysis/information.ts";
import { fillNetBenefit } from "../analysis/net-benefit-draws.ts";
import type { PairKind } from "../analysis/pairwise.ts";
import { incrementalCloud, shareUnderThreshold } from "../analysis/plane.ts";
import { type Precision, precision } from "../analysis/precision.ts";
import { type RunningMean, runningMeans } from "../analysis/running-means.ts";
import type { StrategyDraws } from "../analysis/strategy-draws.ts";
import { type Sufficiency, sufficiency } from "../analysis/sufficiency.ts";
import type { Program } from "../compile/program.ts";
import { normalQuantile } from "../numerics/special/normal-quantile.ts";
import { headlineThreshold } from "./worth.ts";

/** A strategy against the reference over the draws. */
export interface SurePair {
  readonly id: string;
  readonly against: string;
  readonly deltaCost: Precision;
  readonly deltaEffect: Precision;
  readonly quadrants: Readonly<Record<PairKind, number>>;
  readonly ellipse: Ellipse | null;
  /** At most 1,000 draws, evenly taken, as `[more effect, more cost]`. */
  readonly points: readonly (readonly [number, number])[];
  /** Ratios compatible with the draws at 95%, with the shape of the set; null where there is no ratio. */
  readonly ratio: RatioSet | null;
  /** By threshold of the scenario: share of draws in which the strategy has the higher net benefit, and its interval. */
  readonly netBenefit: readonly (Precision & { readonly threshold: number; readonly shareBetter: number })[];
}

/** What the draws say. */
export interface SureFindings {
  readonly draws: number;
  readonly seed: string;
  readonly design: string;
  readonly strategies: readonly { readonly id: string; readonly cost: Precision; readonly effect: Precision }[];
  readonly acceptability: {
    readonly thresholds: readonly number[];
    readonly curves: Readonly<Record<string, readonly number[]>>;
    readonly frontier: readonly number[];
    readonly best: readonly string[];
  };
  /** Expected value of perfect information per person at each threshold of the curves, and its Monte Carlo error. */
  readonly evpi: readonly number[];
  readonly evpiError: readonly (number | null)[];
  readonly expectedLoss: Readonly<Record<string, readonly number[]>>;
  readonly pairs: readonly SurePair[];
  readonly sufficiency: readonly Sufficiency[];
  /** Running means of net benefit at the headline's threshold. */
  readonly convergence: {
    readonly threshold: number;
    readonly means: Readonly<Record<string, readonly RunningMean[]>>;
  } | null;
  readonly byGroup: readonly {
    readonly group: string;
    readonly label: string;
    readonly share: number;
    readonly best: readonly string[];
    readonly frontier: readonly number[];
    readonly curves: Readonly<Record<string, readonly number[]>>;
    readonly thresholds: readonly number[];
  }[];
  readonly outcomesHash: string;
}

const gridSteps = 50;
const pointLimit = 1000;

/** Everything the draws say about certainty. Needs at least two draws. */
export function sureFindings(program: Program, outcomes: DrawOutcomes): SureFindings {
  const { strategies, randomisations, draws, seed, design, outcomesHash } = outcomes;
  const { thresholds: asked } = program.analysis;
  const thresholds = curveThresholds(asked);
  const curves = acceptability(strategies, thresholds);
  const information = perfectInformation(strategies, thresholds, randomisations);
  const reference = strategies.find(({ id }) => id === program.strategies[program.analysis.reference]!.id)!;
  const pairs = strategies
    .filter((one) => one !== reference)
    .map((one) => surePair(one, reference, asked, randomisations));
  const threshold = headlineThreshold(program);
  const enough = asked.length === 0 ? [] : sufficiency(strategies, asked, randomisations);
  return {
    draws,
    seed,
    design,
    strategies: strategies.map(({ id, cost, effect }) => ({
      id,
      cost: precision(cost, randomisations),
      effect: precision(effect, randomisations),
    })),
    acceptability: curves,
    evpi: information.map(({ evpi }) => evpi),
    evpiError: information.map(({ standardError }) => standardError),
    expectedLoss: Object.fromEntries(
      strategies.map(({ id }) => [id, information.map(({ expectedLoss }) => expectedLoss[id]!)]),
    ),
    pairs,
    sufficiency: enough,
    convergence:
      threshold === undefined
        ? null
        : {
            threshold,
            means: Object.fromEntries(strategies.map((one) => [one.id, runningMeans(netBenefitOf(one, threshold))])),
          },
    byGroup: outcomes.groups.map((inner, g) => {
      const { id, label, share } = program.groups[g]!;
      return { group: id, label, share, ...inner.acceptability };
    }),
    outcomesHash,
  };
}

/** Thresholds of the curves: even steps from 0 to twice the highest asked for, and those asked for. */
export function curveThresholds(asked: readonly number[]): readonly number[] {
  const top = Math.max(0, ...asked) * 2;
  if (top === 0) return [0];
  const even = Array.from({ length: gridSteps + 1 }, (_, i) => (i * top) / gridSteps);
  return [...new Set([...even, ...asked])].sort((a, b) => a - b);
}

function netBenefitOf(strategy: StrategyDraws, threshold: number): Float64Array {
  const row = new Float64Array(strategy.cost.length);
  fillNetBenefit(row, strategy, threshold);
  return row;
}

function surePair(
  strategy: StrategyDraws,
  reference: StrategyDraws,
  asked: readonly number[],
  randomisations: number,
): SurePair {
  const cloud = incrementalCloud(strategy, reference);
  const { moments, deltaCost, deltaEffect } = cloud;
  const step = Math.max(1, Math.ceil(deltaCost.length / pointLimit));
  const points = Array.from(
    { length: Math.ceil(deltaCost.length / step) },
    (_, i) => [deltaEffect[i * step]!, deltaCost[i * step]!] as const,
  );
  const difference: StrategyDraws = { id: strategy.id, cost: deltaCost, effect: deltaEffect };
  return {
    id: strategy.id,
    against: reference.id,
    deltaCost: precision(deltaCost, randomisations),
    deltaEffect: precision(deltaEffect, randomisations),
    quadrants: cloud.quadrants,
    ellipse: cloud.ellipse,
    points,
    ratio:
      moments === null
        ? null
        : fieller(
            {
              numerator: moments.meanY,
              denominator: moments.meanX,
              numeratorVariance: moments.varianceY,
              denominatorVariance: moments.varianceX,
              covariance: moments.covariance,
            },
            normalQuantile(0.975),
          ),
    netBenefit: asked.map((threshold) => ({
      threshold,
      shareBetter: shareUnderThreshold(strategy, reference, threshold),
      ...precision(netBenefitOf(difference, threshold), randomisations),
    })),
  };
}
