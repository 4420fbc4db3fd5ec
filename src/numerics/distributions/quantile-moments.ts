import { exp } from "../exp.ts";
import { logistic } from "../special/logit.ts";
import { compensatedSum } from "../sum.ts";

const STEP = 1 / 16;

/** Nodes on each side; at the last one the tail probability is about 1e-276. */
const NODES = 96;

/**
 * Mean and variance of a law from its quantile function alone, as integrals over p in (0, 1).
 *
 * Double-exponential rule, p = 1 / (1 + exp(-pi sinh s)), 193 nodes: relative error of the mean about 1e-13 for laws
 * whose tails fall like a power with finite variance or faster, and for values piling up at an end.
 * Source: Takahasi and Mori, Publ. RIMS 9 (1974) 721-741.
 */
export function quantileMoments(quantile: (p: number, upper: number) => number): {
  readonly mean: number;
  readonly variance: number;
} {
  const s = Float64Array.from({ length: 2 * NODES + 1 }, (_, i) => (i - NODES) * STEP);
  const score = s.map((x) => 0.5 * Math.PI * (exp(x) - exp(-x)));
  const weights = score.map((y, i) => STEP * logistic(y) * logistic(-y) * 0.5 * Math.PI * (exp(s[i]!) + exp(-s[i]!)));
  const values = score.map((y) => quantile(logistic(y), logistic(-y)));
  const mean = compensatedSum(values.map((value, i) => value * weights[i]!));
  const variance = compensatedSum(values.map((value, i) => (value - mean) * (value - mean) * weights[i]!));
  return { mean, variance };
}
