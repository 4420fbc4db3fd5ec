import { normalQuantile } from "../special/normal-quantile.ts";
import { normalAbove, normalBelow } from "../special/normal-tail.ts";
import type { Distribution } from "./distribution.ts";
import { point } from "./point.ts";
import { requireFinite, requireNotNegative, requireProbability } from "./requirement.ts";

/**
 * Normal law of the given mean and standard deviation; a point at sd 0. Quantiles to 7e-16 of the score, see
 * `normalQuantile`.
 * @example normal(100, 15).quantile(0.975) // 129.3994597681008
 */
export function normal(mean: number, sd: number): Distribution {
  requireFinite("mean", mean);
  requireNotNegative("sd", sd);
  const parameters = { mean, sd };
  if (sd === 0) return point(mean, "normal", parameters);
  return {
    family: "normal",
    parameters,
    mean,
    variance: sd * sd,
    lowest: -Infinity,
    highest: Infinity,
    quantile: (p, upper) => {
      requireProbability(p);
      return mean + sd * normalQuantile(p, upper);
    },
    below: (x) => normalBelow((x - mean) / sd),
    above: (x) => normalAbove((x - mean) / sd),
  };
}
