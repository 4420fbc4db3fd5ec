import { standardErrorOfMean } from "../numerics/designs/standard-error.ts";
import { mean, variance } from "../numerics/moments.ts";
import { quantiles } from "../numerics/quantile.ts";

/** A quantity over draws: its expectation, its spread, and how exactly the run knows the expectation. */
export interface Precision {
  readonly mean: number;
  /** Standard deviation of the draws: what is not known about the quantity; more draws do not shrink it. */
  readonly sd: number;
  /** Monte Carlo standard error of the mean: what more draws would shrink. */
  readonly mcse: number;
  /** The middle 95% of the draws, by type-7 quantiles. */
  readonly low: number;
  readonly high: number;
}

const middle95 = [0.025, 0.975] as const;

/**
 * Expectation, spread, Monte Carlo error and 95% interval of a quantity over draws; sums run in draw order.
 * @param values one finite number per draw, 2 or more; left as they are
 * @param randomisations number of independent randomisations the draws are dealt to in turn; 1 for plain draws; they change `mcse` alone
 *
 * Source: quantiles by Hyndman and Fan, Am Stat 1996;50:361-365, definition 7.
 * @example precision(Float64Array.of(1, 2, 3, 4, 5)).low // 1.1
 */
export function precision(values: Float64Array, randomisations = 1): Precision {
  const [low, high] = quantiles(values, middle95) as [number, number];
  return {
    mean: mean(values),
    sd: Math.sqrt(variance(values)),
    mcse: standardErrorOfMean(values, { randomisations }),
    low,
    high,
  };
}
