import { expect, test } from "vitest";
import { runningMeans } from "../../src/analysis/running-means.ts";
import { compensatedSum } from "../../src/numerics/sum.ts";

test("few draws give one step each", () => {
  expect(runningMeans(Float64Array.of(2, 4, 0))).toEqual([
    { draws: 1, mean: 2 },
    { draws: 2, mean: 3 },
    { draws: 3, mean: 2 },
  ]);
  expect(runningMeans(new Float64Array(0))).toEqual([]);
});

test("many draws give 100 even steps, each the mean of its prefix to the bit", () => {
  const values = Float64Array.from({ length: 1234 }, (_, k) => ((k * 7919) % 1000) / 7 - 50);
  const steps = runningMeans(values);
  expect(steps.length).toBe(100);
  expect(steps.at(-1)?.draws).toBe(1234);
  for (const { draws, mean } of steps) expect(mean).toBe(compensatedSum(values.subarray(0, draws)) / draws);
  const widths = steps.map((s, i) => s.draws - (steps[i - 1]?.draws ?? 0));
  expect([Math.min(...widths), Math.max(...widths)]).toEqual([12, 13]);
});
