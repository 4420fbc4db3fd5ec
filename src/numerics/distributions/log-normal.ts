import { exp, expm1 } from "../exp.ts";
import { log } from "../log.ts";
import { normalQuantile } from "../special/normal-quantile.ts";
import { normalAbove, normalBelow } from "../special/normal-tail.ts";
import type { Distribution } from "./distribution.ts";
import { point } from "./point.ts";
import { requireFinite, requireNotNegative, requireProbability } from "./requirement.ts";

/**
 * Law of exp(Y) with Y normal of mean `mu` and standard deviation `sigma`; a point at sigma 0. Mean and variance are
 * those on the natural scale, exp(mu + sigma^2 / 2) and (exp(sigma^2) - 1) mean^2.
 * @example logNormal(0, 1).quantile(0.5) // 1
 */
export function logNormal(mu: number, sigma: number): Distribution {
  requireFinite("mu", mu);
  requireNotNegative("sigma", sigma);
  const parameters = { mu, sigma };
  if (sigma === 0) return point(exp(mu), "log-normal", parameters);
  const mean = exp(mu + 0.5 * sigma * sigma);
  return {
    family: "log-normal",
    parameters,
    mean,
    variance: expm1(sigma * sigma) * mean * mean,
    lowest: 0,
    highest: Infinity,
    quantile: (p, upper) => {
      requireProbability(p);
      return exp(mu + sigma * normalQuantile(p, upper));
    },
    below: (x) => (x <= 0 ? 0 : normalBelow((log(x) - mu) / sigma)),
    above: (x) => (x <= 0 ? 1 : normalAbove((log(x) - mu) / sigma)),
  };
}
