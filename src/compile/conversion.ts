import { type Bound, constant, one, two } from "./bound.ts";

// Rates and probabilities: p = 1 - exp(-r t), r = -ln(1 - p) / t.
// Source: Fleurence and Hollenbeak, PharmacoEconomics 2007;25:3-6 (from memory).

/** Cumulative hazard at which exp(-h) is the smallest positive double; stands for certainty. */
export const certainHazard = 745;

/** Yearly rate of a probability over `periodYears`; a probability of 1 gives a rate of `certainHazard` per period. */
export function hazardFromChance(p: Bound, periodYears: number): Bound {
  const cumulative = two("min", constant(certainHazard), one("negate", one("log1p", one("negate", p))));
  return periodYears === 1 ? cumulative : two("divide", cumulative, constant(periodYears));
}

/** Probability over `years` of a constant yearly rate. */
export function chanceFromRate(rate: Bound, years: number): Bound {
  return one("negate", one("expm1", one("negate", years === 1 ? rate : two("multiply", rate, constant(years)))));
}

/**
 * A probability over `periodYears` as one over `years`, on the hazard scale. A value of 1 or more stays as it is, so
 * that an impossible one is refused as what it is where it is used; the value of an input needs no such care.
 */
export function chanceOver(p: Bound, periodYears: number, years: number): Bound {
  if (Math.abs(periodYears - years) <= 1e-12 * years) return p;
  const over = hazardScaled(p, years / periodYears);
  return p.op === "input" ? over : { op: "if", test: two("less", p, constant(1)), yes: over, no: p };
}

/**
 * One of several exclusive probabilities over `periodYears` that come to `sum`, as one over `years`: the sum converted
 * on the hazard scale and split in proportion, which is what constant competing hazards give. Sums of 0, and of 1 or
 * more, leave it as it is.
 */
export function partOver(p: Bound, sum: Bound, periodYears: number, years: number): Bound {
  const inside = two("and", two("greater", sum, constant(0)), two("less", sum, constant(1)));
  const part = two("divide", two("multiply", p, hazardScaled(sum, years / periodYears)), sum);
  return { op: "if", test: inside, yes: part, no: p };
}

function hazardScaled(p: Bound, times: number): Bound {
  return one("negate", one("expm1", two("multiply", one("log1p", one("negate", p)), constant(times))));
}

/** A probability after an odds ratio: `or p / (1 - p + or p)`. */
export function oddsChance(p: Bound, odds: Bound): Bound {
  const raised = two("multiply", odds, p);
  return two("divide", raised, two("add", two("subtract", constant(1), p), raised));
}
