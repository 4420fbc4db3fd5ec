import { exp } from "../exp.ts";
import { log, log1p } from "../log.ts";

/** ln(p / (1 - p)) for p in [0, 1]; -Infinity at 0, Infinity at 1. */
export function logit(p: number): number {
  return log(p) - log1p(-p);
}

/** The p in [0, 1] whose logit is x, with relative accuracy also for x far below 0. */
export function logistic(x: number): number {
  if (x >= 0) return 1 / (1 + exp(-x));
  const e = exp(x);
  return e / (1 + e);
}
