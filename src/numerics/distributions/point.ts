import type { Distribution } from "./distribution.ts";
import { requireFinite, requireProbability } from "./requirement.ts";

/**
 * The law that always gives `value`; also what other laws become when their spread is 0, then under their own name.
 * @example point(3).quantile(0.2) // 3
 */
export function point(
  value: number,
  family = "point",
  parameters: Readonly<Record<string, number>> = { value },
): Distribution {
  requireFinite("value", value);
  return {
    family,
    parameters,
    mean: value,
    variance: 0,
    lowest: value,
    highest: value,
    quantile: (p) => {
      requireProbability(p);
      return value;
    },
    below: (x) => (x >= value ? 1 : 0),
    above: (x) => (x >= value ? 0 : 1),
  };
}
