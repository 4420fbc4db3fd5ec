import { exp } from "../numerics/exp.ts";
import { log, log1p } from "../numerics/log.ts";

/** ln(p / (1 - p)), for shares and probabilities; -Infinity at 0, Infinity at 1. */
export function logit(p: number): number {
  return log(p) - log1p(-p);
}

/** The share whose logit is `x`. */
export function fromLogit(x: number): number {
  return x >= 0 ? 1 / (1 + exp(-x)) : exp(x) / (1 + exp(x));
}
