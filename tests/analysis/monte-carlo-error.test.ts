import fc from "fast-check";
import { expect, test } from "vitest";
import { monteCarloError } from "../../src/analysis/monte-carlo-error.ts";

test("independent draws have the sd over the root of their number", () => {
  // Constructed: 1 to 5 has variance 2.5.
  expect(monteCarloError(Float64Array.of(1, 2, 3, 4, 5))).toBeCloseTo(Math.sqrt(0.5), 15);
  expect(monteCarloError(Float64Array.of(7, 7, 7))).toBe(0);
});

test("randomisations have the sd of their means over the root of their number", () => {
  // Constructed: means 1, 2 and 6; their mean is 3 and their variance 7.
  expect(monteCarloError(Float64Array.of(0, 2, 1, 3, 4, 8), [0, 2, 4, 6])).toBeCloseTo(Math.sqrt(7 / 3), 15);
});

test("randomisations of unequal length count by their share", () => {
  // Constructed: means 1 (one draw) and 5 (three draws) about 4: sqrt(2 (1/16 x 9 + 9/16 x 1)).
  expect(monteCarloError(Float64Array.of(1, 4, 5, 6), [0, 1, 4])).toBeCloseTo(1.5, 15);
});

test("randomisations of one draw each are independent draws", () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -99, max: 99 }), { minLength: 2, maxLength: 20 }), (list) => {
      const values = Float64Array.from(list);
      const single = Array.from({ length: list.length + 1 }, (_, i) => i);
      expect(monteCarloError(values, single)).toBeCloseTo(monteCarloError(values), 12);
    }),
  );
});

test.each([[[0, 4]], [[0, 2]], [[1, 4]], [[0, 2, 2, 4]], [[0, 3, 2, 4]], [[]]])(
  "boundaries %j are refused",
  (boundaries) => {
    expect(() => monteCarloError(Float64Array.of(1, 2, 3, 4), boundaries)).toThrow(/do not divide 4 draws/);
  },
);

test("one draw tells nothing about the error", () => {
  expect(() => monteCarloError(Float64Array.of(1))).toThrow(/too few|empty/);
});
