import { exp } from "../numerics/exp.ts";
import { log } from "../numerics/log.ts";
import { logistic, logit } from "../numerics/special/logit.ts";
import { normalQuantile } from "../numerics/special/normal-quantile.ts";
import type { Kind } from "../schema/model.ts";
import { familyOf } from "./family.ts";

/** A normal, log-normal or logit-normal law fitted to reported quantiles. */
export interface QuantileFit {
  readonly family: "normal" | "log-normal" | "logit-normal";
  /** Mean and standard deviation on the natural, log or logit scale. */
  readonly mu: number;
  readonly sigma: number;
  readonly median: number;
  /** Largest distance between a reported and a fitted quantile, on the reported scale. */
  readonly residual: number;
}

/**
 * Least squares of the quantiles, on the scale of the kind's family, against the normal quantiles of their levels.
 * Needs at least two quantiles.
 */
export function quantileFit(
  kind: Kind,
  at: readonly number[],
  values: readonly number[],
  family?: string,
): QuantileFit {
  const named = family ?? familyOf(kind, "estimate");
  const law = named === "log-normal" || named === "logit-normal" ? named : "normal";
  const forth = (x: number): number => (law === "log-normal" ? log(x) : law === "logit-normal" ? logit(x) : x);
  const back = (x: number): number => (law === "log-normal" ? exp(x) : law === "logit-normal" ? logistic(x) : x);
  const z = at.map((p) => normalQuantile(p));
  const y = values.map(forth);
  const n = z.length;
  const zMean = z.reduce((sum, x) => sum + x, 0) / n;
  const yMean = y.reduce((sum, x) => sum + x, 0) / n;
  let spread = 0;
  let joint = 0;
  for (let i = 0; i < n; i++) {
    spread += (z[i]! - zMean) * (z[i]! - zMean);
    joint += (z[i]! - zMean) * (y[i]! - yMean);
  }
  const sigma = joint / spread;
  const mu = yMean - sigma * zMean;
  const residual = Math.max(...z.map((x, i) => Math.abs(back(mu + sigma * x) - values[i]!)));
  return { family: law, mu, sigma, median: back(mu), residual };
}
