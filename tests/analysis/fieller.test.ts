import fc from "fast-check";
import { expect, test } from "vitest";
import { type CorrelatedMeans, fieller } from "../../src/analysis/fieller.ts";

function means(dC: number, dE: number, seC: number, seE: number, rho: number): CorrelatedMeans {
  return {
    numerator: dC,
    denominator: dE,
    numeratorVariance: seC * seC,
    denominatorVariance: seE * seE,
    covariance: rho * seC * seE,
  };
}

// Constructed; limits are the closed form computed apart from this code, z = 1.959964.
// Method: Fieller 1954; Briggs and Fenn 1998 (from memory).
const cases: readonly (readonly [
  input: readonly [dC: number, dE: number, seC: number, seE: number, rho: number],
  shape: "interval" | "outside",
  low: number,
  high: number,
])[] = [
  [[1000, 0.05, 200, 0.01, 0], "interval", 11044.22970931518, 36218.008003095296],
  [[1000, 0.05, 200, 0.01, 0.5], "interval", 13102.429499019896, 30528.689357185336],
  [[1000, 0.05, 200, 0.04, 0], "outside", -34209.65776268287, 6784.854045093438],
];

test.each(cases)("%j: %s, %d to %d", (input, shape, low, high) => {
  const found = fieller(means(...input), 1.959964);
  expect(found?.shape).toBe(shape);
  if (found === null || found.shape === "everything") throw new Error("a set with limits was expected");
  expect(Math.abs(found.low - low)).toBeLessThan(1e-6);
  expect(Math.abs(found.high - high)).toBeLessThan(1e-6);
});

test("data that rule nothing out leave every number", () => {
  // Constructed: both differences within 1 standard error of 0.
  expect(fieller(means(100, 0.01, 200, 0.04, 0), 1.959964)).toEqual({ shape: "everything" });
});

test("a denominator exactly z standard errors from 0 leaves a half-line", () => {
  // Constructed: R >= (1 - 0) / (2 * 2) and its mirror image.
  expect(fieller(means(1, 2, 0, 1, 0), 2)).toEqual({ shape: "outside", low: Number.NEGATIVE_INFINITY, high: 0.25 });
  expect(fieller(means(-1, 2, 0, 1, 0), 2)).toEqual({ shape: "outside", low: -0.25, high: Number.POSITIVE_INFINITY });
});

test("no ratio where the denominator is surely 0; a point where both means are known", () => {
  expect(fieller(means(1, 0, 1, 0, 0), 1.96)).toBeNull();
  expect(fieller(means(6, 2, 0, 0, 0), 1.96)).toEqual({ shape: "interval", low: 3, high: 3 });
  expect(fieller(means(0, 2, 0, 0, 0), 1.96)).toEqual({ shape: "interval", low: 0, high: 0 });
});

const anyInput = fc.record({
  dC: fc.integer({ min: -50, max: 50 }),
  dE: fc.integer({ min: -50, max: 50 }),
  seC: fc.integer({ min: 1, max: 40 }),
  seE: fc.integer({ min: 1, max: 40 }),
  rho: fc.constantFrom(-0.9, -0.5, 0, 0.5, 0.9),
});

test("a ratio is in the set exactly when its net benefit is within z standard errors of 0", () => {
  fc.assert(
    fc.property(anyInput, fc.integer({ min: -400, max: 400 }), ({ dC, dE, seC, seE, rho }, step) => {
      const ratio = step / 16;
      const z = 1.5;
      const netBenefit = ratio * dE - dC;
      const variance = ratio ** 2 * seE ** 2 - 2 * ratio * rho * seC * seE + seC ** 2;
      const margin = netBenefit ** 2 - z * z * variance;
      fc.pre(Math.abs(margin) > 1e-6);
      const set = fieller(means(dC, dE, seC, seE, rho), z);
      if (set === null) throw new Error("a set was expected");
      const inside =
        set.shape === "everything" ||
        (set.shape === "interval" ? set.low <= ratio && ratio <= set.high : ratio <= set.low || ratio >= set.high);
      expect(inside).toBe(margin < 0);
    }),
    { numRuns: 2000 },
  );
});

test("counting costs in another currency scales the limits", () => {
  fc.assert(
    fc.property(anyInput, ({ dC, dE, seC, seE, rho }) => {
      const before = fieller(means(dC, dE, seC, seE, rho), 1.96);
      const after = fieller(means(dC * 256, dE, seC * 256, seE, rho), 1.96);
      if (before === null || before.shape === "everything") expect(after).toEqual(before);
      else expect(after).toEqual({ shape: before.shape, low: before.low * 256, high: before.high * 256 });
    }),
  );
});
