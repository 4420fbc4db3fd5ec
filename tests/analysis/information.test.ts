import fc from "fast-check";
import { expect, test } from "vitest";
import { perfectInformation } from "../../src/analysis/information.ts";
import { netMonetaryBenefit } from "../../src/analysis/net-benefit.ts";
import { normalPerfectInformation } from "../../src/analysis/normal-information.ts";
import { normalQuantile } from "../../src/numerics/special/normal-quantile.ts";
import { anyDraws, fromNetBenefits } from "./draws.ts";

test("five draws of two strategies: means 12 and 13, mean of the highest 13.8, so 0.8 to be learned", () => {
  // Briggs, Claxton, Sculpher, Decision Modelling for Health Economic Evaluation, 2006, ch. 6 (from memory, weak).
  const strategies = fromNetBenefits({ A: [9, 12, 14, 11, 14], B: [12, 10, 20, 10, 13] });
  const [found] = perfectInformation(strategies, [20_000]);
  expect(found?.best).toBe("B");
  expect(Math.abs((found?.evpi ?? Number.NaN) - 0.8)).toBeLessThan(1e-12);
  // Losses against 12, 12, 20, 11, 14: those of A average 1.8; those of B, (0, 2, 0, 1, 1), have variance 0.7.
  expect(Math.abs((found?.expectedLoss["A"] ?? Number.NaN) - 1.8)).toBeLessThan(1e-12);
  expect(found?.expectedLoss["B"]).toBe(found?.evpi);
  expect(found?.standardError).toBeCloseTo(Math.sqrt(0.7 / 5), 14);
});

test("a strategy that wins rarely and much leaves exactly 8 to be learned", () => {
  // Constructed: the highest is 0, 0, 0, 50, 0 with mean 10, and the best mean is 2.
  const strategies = fromNetBenefits({ A: [0, 0, 0, 0, 0], B: [-10, -10, -10, 50, -10] });
  const [found] = perfectInformation(strategies, [0]);
  expect(found).toMatchObject({ threshold: 0, best: "B", evpi: 8, expectedLoss: { A: 10, B: 8 } });
});

test("a strategy best in every draw leaves exactly nothing to be learned", () => {
  const strategies = fromNetBenefits({ A: [0.1, 0.2, 0.3], B: [0.1, 0.7, 0.9] });
  const [found] = perfectInformation(strategies, [0]);
  expect(found).toMatchObject({ best: "B", evpi: 0, standardError: 0 });
});

test("a single draw has no standard error", () => {
  const [found] = perfectInformation(fromNetBenefits({ A: [1], B: [2] }), [0]);
  expect(found).toMatchObject({ evpi: 0, standardError: null, expectedLoss: { A: 1, B: 0 } });
});

test("with randomisations the error is the spread of their means", () => {
  // Constructed: losses of the chosen B are 0, 2 in one randomisation and 0, 0 in the other; their means 1 and 0, sd of the means sqrt(1/2), over sqrt(2).
  const strategies = fromNetBenefits({ A: [0, 0, 3, 0], B: [9, 9, 1, 9] });
  const [found] = perfectInformation(strategies, [0], 2);
  expect(found?.standardError).toBeCloseTo(0.5, 15);
});

test("for a normal belief the draws give the closed form", () => {
  // Constructed: INB normal with mean 500 and sd 2000 at the midpoints of 100,000 equal steps of probability; the closed
  // form is tested apart (unit normal loss after Raiffa and Schlaifer 1961).
  const inb = Float64Array.from({ length: 100_000 }, (_, k) => 500 + 2000 * normalQuantile((k + 0.5) / 100_000));
  const strategies = [
    { id: "usual", cost: new Float64Array(inb.length), effect: new Float64Array(inb.length) },
    { id: "new", cost: inb.map((v) => -v), effect: new Float64Array(inb.length) },
  ];
  const [found] = perfectInformation(strategies, [1]);
  expect(Math.abs((found?.evpi ?? Number.NaN) / normalPerfectInformation({ mean: 500, sd: 2000 }) - 1)).toBeLessThan(
    1e-4,
  );
});

test("it is the mean of the highest minus the highest mean, and no expected loss is smaller", () => {
  fc.assert(
    fc.property(anyDraws, fc.integer({ min: 0, max: 9 }), (strategies, threshold) => {
      const [found] = perfectInformation(strategies, [threshold]);
      const rows = strategies.map((s) =>
        Array.from(s.cost, (c, k) => netMonetaryBenefit(threshold, c, s.effect[k] ?? 0)),
      );
      const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;
      const highest = (rows[0] ?? []).map((_, k) => Math.max(...rows.map((row) => row[k] ?? Number.NaN)));
      const expected = mean(highest) - Math.max(...rows.map(mean));
      expect(Math.abs((found?.evpi ?? Number.NaN) - expected)).toBeLessThan(1e-12);
      expect(found?.evpi).toBeGreaterThanOrEqual(0);
      expect(Math.min(...Object.values(found?.expectedLoss ?? {}))).toBe(found?.evpi);
    }),
  );
});

test("the order of strategies changes no loss, and scaling money scales them", () => {
  fc.assert(
    fc.property(anyDraws, (strategies) => {
      const [there] = perfectInformation(strategies, [3]);
      const [back] = perfectInformation(strategies.toReversed(), [3]);
      expect([back?.evpi, back?.expectedLoss]).toEqual([there?.evpi, there?.expectedLoss]);
      const scaled = strategies.map((s) => ({ ...s, cost: s.cost.map((c) => c * 16) }));
      const [large] = perfectInformation(scaled, [48]);
      expect(large?.evpi).toBe((there?.evpi ?? Number.NaN) * 16);
      expect(large?.standardError).toBe((there?.standardError ?? Number.NaN) * 16);
    }),
  );
});
