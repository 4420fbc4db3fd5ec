import { CompensatedSum } from "../numerics/sum.ts";

/** The mean after so many draws. */
export interface RunningMean {
  readonly draws: number;
  readonly mean: number;
}

const largestCount = 100;

/**
 * How the mean settles as draws come in: at most 100 even steps, the last of which is the mean of all draws, bit for
 * bit.
 * @param values finite numbers in draw order; none give no steps
 * @example runningMeans(Float64Array.of(2, 4)) // [{ draws: 1, mean: 2 }, { draws: 2, mean: 3 }]
 */
export function runningMeans(values: Float64Array): readonly RunningMean[] {
  const steps = Math.min(largestCount, values.length);
  const sum = new CompensatedSum();
  const means: RunningMean[] = [];
  let k = 0;
  for (let step = 1; step <= steps; step++) {
    const draws = Math.ceil((step * values.length) / steps);
    for (; k < draws; k++) sum.add(values[k]!);
    means.push({ draws, mean: sum.total() / draws });
  }
  return means;
}
