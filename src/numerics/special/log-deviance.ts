import { log } from "../log.ts";

/** Within this distance of 0 the series is used; its 17 terms then leave less than half an epsilon. */
const SERIES_LIMIT = 0.5;

/**
 * e - ln(1 + e) for e > -1: zero at 0, positive elsewhere, with relative accuracy everywhere.
 *
 * Half the deviance of a Poisson or gamma observation with relative excess e. `quotient` is 1 + e; give it where it is
 * known better than 1 + e can be formed (e near -1). Near 0, with r = e / (2 + e), the value is
 * r e - 2 r^3 (1/3 + r^2 / 5 + ...), where the leading terms no longer cancel. Error about 3 epsilon near 0, elsewhere
 * what the rounding of the arguments brings.
 * Source: own rearrangement of ln(1 + e) = 2 artanh(r), Abramowitz and Stegun (1964) 4.1.27; use as in Loader, "Fast
 * and accurate computation of binomial probabilities" (2000), from memory.
 * @example logDeviance(1) // 0.3068528194400547
 */
export function logDeviance(e: number, quotient: number = 1 + e): number {
  if (e > SERIES_LIMIT || e < -SERIES_LIMIT) return e - log(quotient);
  const r = e / (2 + e);
  const t = r * r;
  let n = e < 0.1 && e > -0.1 ? 15 : 35;
  let sum = 1 / n;
  while (n > 3) {
    n -= 2;
    sum = sum * t + 1 / n;
  }
  return r * (e - 2 * t * sum);
}
