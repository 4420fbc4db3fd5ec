import { expect, test } from "vitest";
import { normalPerfectInformation, normalSampleInformation } from "../../src/analysis/normal-information.ts";

// Constructed; closed form checked by numerical integration apart from this code. Method: Raiffa and Schlaifer 1961.
const belief = { mean: 500, sd: 2000 };
const pairSd = 10_000;
const perfect = 572.6893964471604;
const bySize: readonly (readonly [n: number, evsi: number])[] = [
  [1, 18.83770372432383],
  [25, 349.0886622301164],
  [50, 431.771315477758],
  [100, 491.3465033494528],
  [200, 528.5452882498889],
  [500, 554.0664250231271],
  [1000, 563.203931795673],
  [10_000, 571.7245725595335],
];

test("perfect information has its closed-form value, whichever option is ahead", () => {
  expect(Math.abs(normalPerfectInformation(belief) - perfect)).toBeLessThan(1e-6);
  expect(normalPerfectInformation({ mean: -500, sd: 2000 })).toBe(normalPerfectInformation(belief));
});

test.each(bySize)("a study of %d pairs is worth %d", (n, evsi) => {
  expect(Math.abs(normalSampleInformation(belief, pairSd, n) - evsi)).toBeLessThan(1e-6);
});

test("a study of nobody is worth nothing, an endless one as much as the truth, and more is never worth less", () => {
  expect(normalSampleInformation(belief, pairSd, 0)).toBe(0);
  expect(normalSampleInformation(belief, pairSd, Number.POSITIVE_INFINITY)).toBe(normalPerfectInformation(belief));
  let before = 0;
  for (let n = 1; n < 1e6; n *= 2) {
    const here = normalSampleInformation(belief, pairSd, n);
    expect(here).toBeGreaterThan(before);
    before = here;
  }
  expect(before).toBeLessThan(normalPerfectInformation(belief));
});

test("where nothing is uncertain nothing can be learned", () => {
  expect(normalPerfectInformation({ mean: 0, sd: 0 })).toBe(0);
  expect(normalSampleInformation({ mean: 0, sd: 0 }, pairSd, 100)).toBe(0);
});

test("values out of range fail loudly", () => {
  expect(() => normalPerfectInformation({ mean: 0, sd: -1 })).toThrow(/sd of a belief is -1/);
  expect(() => normalSampleInformation(belief, 0, 10)).toThrow(/sd 0/);
  expect(() => normalSampleInformation(belief, 1, -1)).toThrow(/-1 pairs/);
});
