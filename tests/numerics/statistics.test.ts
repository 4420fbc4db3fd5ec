import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { covariance, mean, variance } from "../../src/numerics/moments.ts";
import { quantileSorted, quantiles } from "../../src/numerics/quantile.ts";
import { CompensatedSum, compensatedSum } from "../../src/numerics/sum.ts";

interface Case {
  readonly name: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly sum: number;
  readonly sumOfSizes: number;
  readonly mean: number;
  readonly variance: number;
  readonly covariance: number;
  readonly quantiles: readonly number[];
}
interface Fixture {
  readonly probabilities: readonly number[];
  readonly cases: readonly Case[];
}
const path = new URL("../fixtures/numerics/statistics.json", import.meta.url);
const { probabilities, cases }: Fixture = JSON.parse(readFileSync(path, "utf8"));

const { EPSILON } = Number;
const near = (value: number, exact: number, relative: number, absolute = 0) => {
  expect(Math.abs(value - exact), `${value} against ${exact}`).toBeLessThanOrEqual(
    relative * Math.abs(exact) + absolute,
  );
};

describe.each(cases)("of $name (exact fractions and numpy; see make-statistics.py)", (entry) => {
  const n = entry.x.length;
  // Neumaier 1974: one rounding of the result, and second-order terms of the sizes.
  const rest = n * n * EPSILON ** 2 * entry.sumOfSizes;

  test("the compensated sum is within its bound", () => {
    near(compensatedSum(entry.x), entry.sum, EPSILON, rest);
  });

  test("the mean is within two units", () => {
    near(mean(entry.x), entry.mean, 2 * EPSILON, rest);
  });

  test("variance and covariance survive a small spread far from zero", () => {
    near(variance(entry.x), entry.variance, 8 * EPSILON);
    const spread = Math.sqrt(variance(entry.x) * variance(entry.y));
    near(covariance(entry.x, entry.y), entry.covariance, 0, 8 * EPSILON * spread);
  });

  test("quantiles are type 7", () => {
    // numpy interpolates from the nearer neighbour, so the last bits differ.
    quantiles(entry.x, probabilities).forEach((value, i) => {
      near(value, entry.quantiles[i]!, 64 * EPSILON);
    });
  });
});

describe("compensated sum", () => {
  test.each([
    [[], 0, "empty"],
    [[1e16, 1, -1e16], 1, "arithmetic"],
    [[1, 1e100, 1, -1e100], 2, "arithmetic; Kahan's own variant gives 0"],
    [[Infinity, 1], Infinity, "plain addition"],
    [[1, -Infinity, 2], -Infinity, "plain addition"],
    [[Infinity, -Infinity], Number.NaN, "plain addition"],
    [[Number.NaN, 1], Number.NaN, "plain addition"],
    [[Number.MAX_VALUE, Number.MAX_VALUE, -Number.MAX_VALUE], Infinity, "overflow on the way"],
  ])("of %s is %s (%s)", (values, total) => {
    expect(compensatedSum(values)).toBe(total);
    const running = new CompensatedSum();
    for (const value of values) running.add(value);
    expect(running.total()).toBe(total);
  });

  test("running and at once give the same bits, also after a reset", () => {
    const running = new CompensatedSum();
    fc.assert(
      fc.property(fc.array(fc.double()), (values) => {
        running.reset();
        for (const value of values) running.add(value);
        expect(running.total()).toBe(compensatedSum(values));
      }),
    );
  });
});

describe("moments", () => {
  test("ignore a shift as far as doubles can", () => {
    const values = [1, 2, 3, 4];
    expect(variance(values.map((v) => v + 2 ** 40))).toBe(variance(values));
    expect(variance([7, 7, 7])).toBe(0);
  });

  test("refuse lists that are too short or of different length", () => {
    expect(() => mean([])).toThrow("empty");
    expect(() => variance([1])).toThrow("too few");
    expect(() => covariance([1, 2], [1])).toThrow("different length");
  });
});

describe("type-7 quantile", () => {
  test.each([
    // By hand from Hyndman and Fan 1996, definition 7: position (n - 1) p.
    [[1, 2, 3, 4], 0.5, 2.5],
    [[10, 20, 40], 0.75, 30],
    [[5], 0.3, 5],
    [[-Infinity, -Infinity, 1], 0.25, -Infinity],
    [[1, Infinity, Infinity], 0.75, Infinity],
  ])("of %s at %s is %s", (values, probability, quantile) => {
    expect(quantileSorted(values, probability)).toBe(quantile);
  });

  test("sorts numbers as numbers and leaves the list alone", () => {
    const values = [10, 9, -1, 100];
    expect(quantiles(values, [0, 1])).toEqual([-1, 100]);
    expect(values).toEqual([10, 9, -1, 100]);
  });

  test("rises with the probability and stays between least and greatest", () => {
    const value = fc.double({ min: -1e9, max: 1e9, noNaN: true });
    const probability = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 1 }), probability, probability, (values, p, q) => {
        const [least, low, high, greatest] = quantiles(values, [0, Math.min(p, q), Math.max(p, q), 1]);
        expect(least).toBeLessThanOrEqual(low!);
        expect(low).toBeLessThanOrEqual(high! + 1e-9 * Math.abs(high!));
        expect(high).toBeLessThanOrEqual(greatest!);
      }),
    );
  });

  test("refuses empty lists, NaN and probabilities out of range", () => {
    expect(() => quantiles([], [0.5])).toThrow("empty");
    expect(() => quantiles([1, Number.NaN], [0.5])).toThrow("NaN");
    expect(() => quantiles([1], [1.01])).toThrow("out of range");
    expect(() => quantiles([1], [Number.NaN])).toThrow("out of range");
  });
});
