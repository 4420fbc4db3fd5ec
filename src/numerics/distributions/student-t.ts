import { exp } from "../exp.ts";
import { log } from "../log.ts";
import { incompleteBeta } from "../special/incomplete-beta.ts";
import { invertIncompleteBeta } from "../special/inverse-incomplete-beta.ts";
import type { Distribution } from "./distribution.ts";
import { point } from "./point.ts";
import { requireFinite, requireNotNegative, requirePositive, requireProbability } from "./requirement.ts";

/** Below this x = df / (df + t^2) its power law holds to the last bit. */
const POWER_LAW_BELOW = 1e-280;

/**
 * Law of location + scale T, T being Student's t with `df` > 0 degrees of freedom (any real number); a point at scale 0.
 *
 * Mean: the location (not a number where df <= 1, since there is none). Variance: scale^2 df / (df - 2), infinite where
 * df <= 2. Quantiles come from the beta law of df / (df + T^2), with accuracy as there; T beyond 1e308 is infinite.
 * Source: Abramowitz and Stegun (1964) 26.7.1.
 * @example studentT(3).quantile(0.5) // 0
 */
export function studentT(df: number, location = 0, scale = 1): Distribution {
  requirePositive("df", df);
  requireFinite("location", location);
  requireNotNegative("scale", scale);
  const parameters = { df, location, scale };
  if (scale === 0) return point(location, "Student t", parameters);
  const tails = incompleteBeta(df / 2, 0.5);
  const pair = { x: 0, y: 0 };

  /** The t above which half of `twice` lies, for twice in (0, 1]; rest = 1 - twice. */
  const upperScore = (twice: number, rest: number): number => {
    if (rest === 0) return 0;
    invertIncompleteBeta(tails, df / 2, 0.5, twice, rest, pair);
    if (pair.x < POWER_LAW_BELOW) return Math.sqrt(df) * exp(-(log(twice) + tails.logLowerConstant) / df);
    return Math.sqrt((df * pair.y) / pair.x);
  };
  /** P(T > t) for t >= 0. */
  const upperTail = (t: number): number => {
    const square = t * t;
    const x = df / (df + square);
    if (x < POWER_LAW_BELOW) return 0.5 * exp(df * (0.5 * log(df) - log(t)) - tails.logLowerConstant);
    return 0.5 * tails.below(x, square / (df + square));
  };
  const above = (t: number) => (t >= 0 ? upperTail(t) : 1 - upperTail(-t));
  return {
    family: "Student t",
    parameters,
    mean: df > 1 ? location : Number.NaN,
    variance: df > 2 ? (scale * scale * df) / (df - 2) : Infinity,
    lowest: -Infinity,
    highest: Infinity,
    quantile: (p, upper = 1 - p) => {
      requireProbability(p);
      if (p === 0 || upper === 0) return p === 0 ? -Infinity : Infinity;
      const score = p < upper ? -upperScore(2 * p, upper - p) : upperScore(2 * upper, p - upper);
      return location + scale * score;
    },
    below: (x) => above((location - x) / scale),
    above: (x) => above((x - location) / scale),
  };
}
