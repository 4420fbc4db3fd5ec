import type { Distribution } from "./distribution.ts";

/**
 * The law of `about` - X; with `about` 1 and X gamma, a utility that can be negative.
 *
 * A high p of the result is a low p of X, so that the result rises with p as every quantile function does. For laws with
 * a density P(about - X <= x) = P(X >= about - x), and points are told apart by their ends.
 * @example reflected(uniform(0, 4), 1).quantile(0.25) // -2
 */
export function reflected(law: Distribution, about: number): Distribution {
  const isPoint = law.lowest === law.highest;
  const value = about - law.lowest;
  const { draw } = law;
  return {
    family: `${about} - ${law.family}`,
    parameters: law.parameters,
    mean: about - law.mean,
    variance: law.variance,
    lowest: about - law.highest,
    highest: about - law.lowest,
    quantile: (p, upper = 1 - p) => about - law.quantile(upper, p),
    ...(draw === undefined ? {} : { draw: (p: number, upper = 1 - p) => about - draw(upper, p) }),
    below: (x) => (isPoint ? Number(x >= value) : law.above(about - x)),
    above: (x) => (isPoint ? Number(x < value) : law.below(about - x)),
  };
}
