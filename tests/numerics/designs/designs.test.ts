import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Design } from "../../../src/numerics/designs/design.ts";
import { plain } from "../../../src/numerics/designs/plain.ts";
import { quasi } from "../../../src/numerics/designs/quasi.ts";
import { SOBOL_DIMENSIONS } from "../../../src/numerics/designs/sobol-directions.ts";
import { standardErrorOfMean } from "../../../src/numerics/designs/standard-error.ts";
import { stratified } from "../../../src/numerics/designs/stratified.ts";
import { mean } from "../../../src/numerics/moments.ts";

type Make = (seed: number, draws: number) => Design;
const designs: readonly (readonly [string, Make])[] = [
  ["plain", plain],
  ["stratified", (seed, draws) => stratified(seed, draws, 8)],
  ["quasi", (seed, draws) => quasi(seed, draws, 8)],
];
const column = (design: Design, index: number, from = 0, to = design.draws): Float64Array => {
  const target = new Float64Array(to - from);
  design.fill(`input[${index}]`, index, from, to, target);
  return target;
};
/** Values of the rows of one randomisation. */
const rowsOf = (values: Float64Array, design: Design, r: number): Float64Array =>
  values.filter((_, k) => k % design.randomisations === r);

describe.each(designs)("the %s design", (name, make) => {
  test("names itself", () => {
    expect(make(1, 64).name).toBe(name);
  });

  test("gives odd multiples of 2^-53, never 0 or 1", () => {
    for (const index of [0, 3, SOBOL_DIMENSIONS + 5])
      for (const u of column(make(1, 2000), index)) {
        expect((u * 2 ** 53) % 2).toBe(1);
        expect(u > 0 && u < 1).toBe(true);
      }
  });

  test("does not depend on the ranges draws are asked for in", () => {
    const design = make(2, 3001);
    const whole = column(design, 5);
    const place = fc.integer({ min: 0, max: 3001 });
    fc.assert(
      fc.property(place, place, (p, q) => {
        const [from, to] = [Math.min(p, q), Math.max(p, q)];
        expect(column(design, 5, from, to)).toEqual(whole.subarray(from, to));
      }),
      { numRuns: 30 },
    );
  });

  test("gives uniform marginals without correlation", () => {
    const draws = 8192;
    const columns = Array.from({ length: 20 }, (_, i) => column(make(3, draws), i));
    const limit = 4.5 / Math.sqrt(draws);
    for (const [i, x] of columns.entries()) {
      // the spread of plain draws bounds that of the others
      expect(Math.abs(mean(x) - 0.5) * Math.sqrt(12)).toBeLessThan(limit);
      expect(Math.abs(mean(x.map((u) => (u - 0.5) ** 2)) - 1 / 12) * Math.sqrt(180)).toBeLessThan(limit);
      for (const y of columns.slice(0, i)) {
        expect(Math.abs(mean(x.map((u, k) => (u - 0.5) * (y[k]! - 0.5)))) * 12).toBeLessThan(limit);
      }
    }
  });

  test("changes with the seed", () => {
    expect(column(make(1, 64), 0)).not.toEqual(column(make(2, 64), 0));
  });
});

describe("laws of prefixes and added inputs", () => {
  test("plain: fewer draws are a prefix of more, and another input or place changes nothing", () => {
    expect(column(plain(1, 5000), 4).subarray(0, 2000)).toEqual(column(plain(1, 2000), 4));
    const [here, there] = [new Float64Array(100), new Float64Array(100)];
    plain(1, 100).fill("cost", 4, 0, 100, here);
    plain(1, 100).fill("cost", 9, 0, 100, there);
    expect(there).toEqual(here);
  });

  test("quasi: fewer draws are a prefix of more, and each power of two of rows is a net", () => {
    const more = quasi(1, 8 * 1024, 8);
    const values = column(more, 4);
    expect(values.subarray(0, 8 * 256)).toEqual(column(quasi(1, 8 * 256, 8), 4));
    for (const n of [64, 256, 1024])
      for (let r = 0; r < 8; r++) {
        const strata = new Set(
          rowsOf(values, more, r)
            .subarray(0, n)
            .map((u) => Math.floor(u * n)),
        );
        expect(strata.size).toBe(n);
      }
  });

  test("stratified: every stratum once within a randomisation, also when N is no multiple of R; N matters", () => {
    const design = stratified(1, 1003, 8);
    const values = column(design, 4);
    for (let r = 0; r < 8; r++) {
      const rows = rowsOf(values, design, r);
      expect(rows.length).toBe(r < 3 ? 126 : 125);
      expect(new Set(rows.map((u) => Math.floor(u * rows.length))).size).toBe(rows.length);
    }
    expect(column(stratified(1, 2006, 8), 4).subarray(0, 1003)).not.toEqual(values);
  });

  test("stratified: another input or place changes nothing", () => {
    const [here, there] = [new Float64Array(100), new Float64Array(100)];
    stratified(1, 100).fill("cost", 4, 0, 100, here);
    stratified(1, 100).fill("cost", 9, 0, 100, there);
    expect(there).toEqual(here);
  });

  test("quasi: inputs beyond the table of directions are drawn plainly", () => {
    expect(column(quasi(1, 100), SOBOL_DIMENSIONS)).toEqual(column(plain(1, 100), SOBOL_DIMENSIONS));
  });

  test.each([stratified, quasi])("fewer than 8 randomisations, or than draws, are refused", (make) => {
    expect(() => make(1, 1000, 7)).toThrow("7 randomisations");
    expect(() => make(1, 10, 16)).toThrow("of 10 draws");
  });
});

const DIMENSIONS = 8;
/** Mean over draws of f of the uniforms of eight inputs, with its standard error. */
function integrate(design: Design, f: (u: readonly number[]) => number): readonly [number, number] {
  const columns = Array.from({ length: DIMENSIONS }, (_, i) => column(design, i));
  const values = columns[0]!.map((_, k) => f(columns.map((x) => x[k]!)));
  return [mean(values), standardErrorOfMean(values, design)];
}
const SEEDS = Array.from({ length: 25 }, (_, i) => i + 1);
const errors = (make: Make, f: (u: readonly number[]) => number, exact: number) => {
  const runs = SEEDS.map((seed) => integrate(make(seed, 2048), f));
  return {
    actual: Math.sqrt(mean(runs.map(([value]) => (value - exact) ** 2))),
    stated: Math.sqrt(mean(runs.map(([, error]) => error * error))),
  };
};

describe("errors over 25 seeds of 2,048 draws, eight randomisations of 256 rows", () => {
  const additive = (u: readonly number[]) => u.reduce((sum, x) => sum + Math.exp(x), 0);
  const product = (u: readonly number[]) => u.reduce((value, x) => value * (1 + 0.6 * (x - 0.5)), 1);
  const [ofAdditive, ofProduct] = [
    designs.map(([, make]) => errors(make, additive, DIMENSIONS * (Math.E - 1))),
    designs.map(([, make]) => errors(make, product, 1)),
  ];

  test("of a sum of smooth functions: strata and nets do more than 50 times better than plain draws", () => {
    const [plainly, inStrata, inNets] = ofAdditive.map(({ actual }) => actual) as [number, number, number];
    expect(inStrata * 50).toBeLessThan(plainly);
    expect(inNets * 50).toBeLessThan(plainly);
    // both put one point at random in each stratum, so theory has their variances equal (Owen 1997) on such a sum
    expect(inNets).toBeLessThan(1.5 * inStrata);
  });

  test("of a product, where inputs interact: nets do better than strata, and those than plain draws", () => {
    const [plainly, inStrata, inNets] = ofProduct.map(({ actual }) => actual) as [number, number, number];
    expect(inStrata * 2).toBeLessThan(plainly);
    expect(inNets * 2).toBeLessThan(inStrata);
  });

  test("standard errors are what the errors are", () => {
    // the ratio of 25 actual squares to the stated mean square has a relative standard error of about sqrt(2 / 25)
    for (const { actual, stated } of [...ofAdditive, ...ofProduct]) {
      expect(Math.abs((actual / stated) ** 2 - 1)).toBeLessThan(4 * Math.sqrt(2 / 25));
    }
  });
});

test("the standard error of a plain mean is sd / sqrt(N), and infinite for one draw", () => {
  expect(standardErrorOfMean([1, 2, 3, 4], { randomisations: 1 })).toBe(Math.sqrt(5 / 3 / 4));
  expect(standardErrorOfMean([1], { randomisations: 1 })).toBe(Infinity);
});

test("the standard error of equal randomisations is the sd of their means over sqrt(R)", () => {
  // means 1, 2, 3, 6 of four randomisations of two rows: sd sqrt(14 / 3)
  const values = [0, 1, 2, 5, 2, 3, 4, 7];
  expect(standardErrorOfMean(values, { randomisations: 4 })).toBeCloseTo(Math.sqrt(14 / 3 / 4), 14);
});
