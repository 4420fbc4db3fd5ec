import { logistic, logit } from "../special/logit.ts";
import { normalQuantile } from "../special/normal-quantile.ts";
import { normalAbove, normalBelow, normalDensity } from "../special/normal-tail.ts";
import { compensatedSum } from "../sum.ts";
import type { Distribution } from "./distribution.ts";
import { point } from "./point.ts";
import { requireFinite, requireNotNegative, requireProbability } from "./requirement.ts";

/** Scores beyond this carry less than an epsilon of the probability. */
const FARTHEST_SCORE = 9;

const WIDEST_STEP = 0.3;

/** Keeps the work bounded: beyond sigma = 100 the step no longer shrinks, and the moments are good to about 1e-4. */
const NARROWEST_STEP = 0.005;

/**
 * Law of 1 / (1 + exp(-Y)) with Y normal of mean `mu` and standard deviation `sigma`; a point at sigma 0.
 *
 * Its mean and variance have no closed form and are summed by the trapezoidal rule over the normal score, which for a
 * smooth integrand of this kind converges faster than any power of the step; the step shrinks with 1 / sigma, since the
 * nearest pole of the logistic curve lies at the distance pi / sigma. Relative error below 1e-14 for sigma up to 100.
 * Source: Trefethen and Weideman, SIAM Review 56 (2014) 385-458, for the rule.
 * @example logitNormal(0, 1).mean // 0.5
 */
export function logitNormal(mu: number, sigma: number): Distribution {
  requireFinite("mu", mu);
  requireNotNegative("sigma", sigma);
  const parameters = { mu, sigma };
  if (sigma === 0) return point(logistic(mu), "logit-normal", parameters);
  const { mean, variance } = moments(mu, sigma);
  return {
    family: "logit-normal",
    parameters,
    mean,
    variance,
    lowest: 0,
    highest: 1,
    quantile: (p, upper) => {
      requireProbability(p);
      return logistic(mu + sigma * normalQuantile(p, upper));
    },
    below: (x) => (x <= 0 ? 0 : x >= 1 ? 1 : normalBelow((logit(x) - mu) / sigma)),
    above: (x) => (x <= 0 ? 1 : x >= 1 ? 0 : normalAbove((logit(x) - mu) / sigma)),
  };
}

function moments(mu: number, sigma: number): { readonly mean: number; readonly variance: number } {
  const step = Math.max(Math.min(WIDEST_STEP, 0.5 / sigma), NARROWEST_STEP);
  const half = Math.ceil(FARTHEST_SCORE / step);
  const scores = Float64Array.from({ length: 2 * half + 1 }, (_, i) => (i - half) * step);
  const weights = scores.map((z) => step * normalDensity(z));
  const values = scores.map((z) => logistic(mu + sigma * z));
  const mean = compensatedSum(values.map((value, i) => value * weights[i]!));
  const variance = compensatedSum(values.map((value, i) => (value - mean) * (value - mean) * weights[i]!));
  return { mean, variance };
}
