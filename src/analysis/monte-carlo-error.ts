import { mean, variance } from "../numerics/moments.ts";
import { compensatedSum } from "../numerics/sum.ts";

/**
 * Where the independent randomisations of a stratified or quasi-random run begin, and the number of draws last:
 * `[0, 500, 1000]` for two of 500. Rising whole numbers from 0.
 */
export type Randomisations = readonly number[];

/**
 * The Monte Carlo standard error of a mean over draws: how far the mean of another run of this size would lie, not how
 * uncertain the quantity itself is.
 *
 * Independent draws give `sd / sqrt(N)`. Stratified and quasi-random draws depend on each other within a randomisation
 * by design, so there the spread of the R randomisation means tells the error: with share `w` of the draws in each,
 * `sqrt(R / (R - 1) sum w^2 (mean_r - mean)^2)`, which for equal shares is the sd of the means over `sqrt(R)`.
 * @param values one finite number per draw, at least 2, in draw order
 * @param randomisations only for runs made of several; at least 2
 *
 * Source: Owen, Monte Carlo theory, methods and examples, 2013, randomised quasi-Monte Carlo (from memory).
 * @example monteCarloError(Float64Array.of(0, 2, 4, 6), [0, 2, 4]) // 2
 */
export function monteCarloError(values: Float64Array, randomisations?: Randomisations): number {
  const count = values.length;
  if (randomisations === undefined) return Math.sqrt(variance(values) / count);
  checkRandomisations(randomisations, count);

  const overall = mean(values);
  const repeats = randomisations.length - 1;
  const squares = new Float64Array(repeats);
  for (let r = 0; r < repeats; r++) {
    const part = values.subarray(randomisations[r], randomisations[r + 1]);
    const deviation = (part.length / count) * (mean(part) - overall);
    squares[r] = deviation * deviation;
  }
  return Math.sqrt((repeats / (repeats - 1)) * compensatedSum(squares));
}

function checkRandomisations(randomisations: Randomisations, count: number): void {
  const rising = randomisations.every((b, r) => r === 0 || b > (randomisations.at(r - 1) ?? 0));
  if (randomisations.length < 3 || randomisations.at(0) !== 0 || randomisations.at(-1) !== count || !rising) {
    throw new Error(`randomisations [${randomisations.join(", ")}] do not divide ${count} draws into 2 or more parts`);
  }
}
