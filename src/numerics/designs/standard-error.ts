import { mean, variance } from "../moments.ts";
import { compensatedSum } from "../sum.ts";
import { type Design, rowsOf } from "./design.ts";

/**
 * Monte Carlo standard error of the mean of one value per draw, as its design allows.
 *
 * Plain: sd / sqrt(N). Stratified and quasi: draws within a randomisation are not independent but the randomisations
 * are, so it comes from the spread of their R means, sqrt(R / (R - 1) sum w_r^2 (mean_r - mean)^2) with w_r the
 * randomisation's share of the draws; with equal shares that is their sd / sqrt(R). Infinite for a plain design of
 * one draw. `values` holds draw k at place k.
 * Source: L'Ecuyer and Lemieux, in Modeling Uncertainty (Kluwer 2002) 419-474, from memory.
 */
export function standardErrorOfMean(values: ArrayLike<number>, design: Pick<Design, "randomisations">): number {
  const draws = values.length;
  const { randomisations } = design;
  if (randomisations === 1) return draws > 1 ? Math.sqrt(variance(values) / draws) : Infinity;
  const overall = mean(values);
  const terms: number[] = [];
  for (let r = 0; r < randomisations; r++) {
    const rows = rowsOf(r, randomisations, draws);
    const rowValues = Float64Array.from({ length: rows }, (_, i) => values[r + i * randomisations]!);
    const gap = (rows / draws) * (mean(rowValues) - overall);
    terms.push(gap * gap);
  }
  return Math.sqrt((randomisations / (randomisations - 1)) * compensatedSum(terms));
}
