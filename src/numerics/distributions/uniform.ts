import type { Distribution } from "./distribution.ts";
import { point } from "./point.ts";
import { requireFinite, requireProbability } from "./requirement.ts";

/**
 * Law with even density between `low` and `high`; a point where they are equal. Throws where low > high.
 * @example uniform(1, 3).quantile(0.25) // 1.5
 */
export function uniform(low: number, high: number): Distribution {
  requireFinite("low", low);
  requireFinite("high", high);
  const width = high - low;
  if (!(width >= 0 && width < Infinity)) throw new Error(`low ${low} is above high ${high}, or too far from it`);
  const parameters = { low, high };
  if (width === 0) return point(low, "uniform", parameters);
  return {
    family: "uniform",
    parameters,
    mean: low + width / 2,
    variance: (width * width) / 12,
    lowest: low,
    highest: high,
    quantile: (p, upper = 1 - p) => {
      requireProbability(p);
      // from the nearer end, so that neither end is overshot by rounding
      return p < upper ? low + p * width : high - upper * width;
    },
    below: (x) => (x <= low ? 0 : x >= high ? 1 : (x - low) / width),
    above: (x) => (x <= low ? 1 : x >= high ? 0 : (high - x) / width),
  };
}
