import { exp, expm1 } from "./exp.ts";
import { log1p } from "./log.ts";

/** Newton steps taken: a fixed number, so that every evaluator takes the same. */
export const crudeIterations = 12;

/**
 * The constant hazard that yields the crude incidence `p` (0 <= p < 1) over `years` beside other constant hazards that
 * sum to `others` a year: the h with `p = h / (h + H) (1 - exp(-(h + H) t))`.
 * A fixed number of Newton steps on the total hazard u = (h + H) t, on which the equation is concave and rising, so the
 * steps close in from below. Returns 0 for p = 0, NaN outside the range.
 * Source: cause-specific cumulative incidence under constant hazards, standard survival theory (from memory).
 * @example crudeHazard(1 - Math.exp(-0.2), 0, 1) // 0.2, without competition the ordinary conversion
 */
export function crudeHazard(p: number, others: number, years: number): number {
  if (p === 0) return 0;
  if (!(p > 0 && p < 1)) return Number.NaN;
  const h = others * years;
  let u = h - log1p(-p);
  for (let i = 0; i < crudeIterations; i++) {
    const survived = exp(-u);
    const died = -expm1(-u);
    const g = u / died;
    const slope = (died - u * survived) / (died * died);
    u -= (u - h - p * g) / (1 - p * slope);
  }
  // not (u - h) / years, which cancels where the incidence is small beside the others
  return (p * (u / -expm1(-u))) / years;
}
