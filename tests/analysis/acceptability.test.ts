import fc from "fast-check";
import { expect, test } from "vitest";
import { acceptability } from "../../src/analysis/acceptability.ts";
import type { StrategyDraws } from "../../src/analysis/strategy-draws.ts";
import { anyDraws, fromNetBenefits } from "./draws.ts";

test("the frontier is not the highest curve: B wins one draw in five and is the one to choose", () => {
  // Constructed after the definition in Fenwick, Claxton, Sculpher, Health Econ 2001;10:779-787.
  const found = acceptability(fromNetBenefits({ A: [0, 0, 0, 0, 0], B: [-10, -10, -10, 50, -10] }), [0, 20_000]);
  expect(found).toEqual({
    thresholds: [0, 20_000],
    curves: { A: [0.8, 0.8], B: [0.2, 0.2] },
    best: ["B", "B"],
    frontier: [0.2, 0.2],
  });
});

test("a draw won by several is split equally, near-ties included", () => {
  // Constructed: three tied, then two tied up to rounding, then C alone.
  const found = acceptability(fromNetBenefits({ A: [5, 7, 1], B: [5, 7 * (1 + 1e-12), 1], C: [5, 2, 9] }), [0]);
  expect(found.curves["A"]?.[0]).toBeCloseTo((1 / 3 + 1 / 2) / 3, 15);
  expect(found.curves["B"]).toEqual(found.curves["A"]);
  expect(found.curves["C"]?.[0]).toBeCloseTo((1 / 3 + 1) / 3, 15);
});

test("of strategies tied in expectation the first is called best", () => {
  const found = acceptability(fromNetBenefits({ A: [1, 3], B: [3, 1] }), [0]);
  expect([found.best, found.frontier]).toEqual([["A"], [0.5]]);
});

test("one strategy is surely best, and no threshold gives empty curves", () => {
  const alone = fromNetBenefits({ A: [1, 2] });
  expect(acceptability(alone, [7])).toEqual({ thresholds: [7], curves: { A: [1] }, best: ["A"], frontier: [1] });
  expect(acceptability(alone, [])).toEqual({ thresholds: [], curves: { A: [] }, best: [], frontier: [] });
});

test("draws that do not fit together fail loudly", () => {
  const draws = (id: string, cost: number[], effect: number[]): StrategyDraws => ({
    id,
    cost: Float64Array.from(cost),
    effect: Float64Array.from(effect),
  });
  expect(() => acceptability([], [1])).toThrow(/no strategies/);
  expect(() => acceptability([draws("a", [], [])], [1])).toThrow(/no draws/);
  expect(() => acceptability([draws("a", [1], [1]), draws("b", [1, 2], [1, 2])], [1])).toThrow(/"b" has 2 costs/);
  expect(() => acceptability([draws("a", [1], [1]), draws("a", [2], [2])], [1])).toThrow(/"a" is given twice/);
  expect(() => acceptability([draws("a", [1, Number.NaN], [1, 2])], [1])).toThrow(/"a" is not finite in draw 1/);
});

test("at every threshold the curves sum to 1", () => {
  fc.assert(
    fc.property(anyDraws, (strategies) => {
      const { thresholds, curves } = acceptability(strategies, [0, 1, 10, 1e6]);
      for (const [i] of thresholds.entries()) {
        const sum = Object.values(curves).reduce((total, curve) => total + (curve[i] ?? Number.NaN), 0);
        expect(Math.abs(sum - 1)).toBeLessThan(1e-14);
      }
    }),
  );
});

test("the order of strategies changes no curve", () => {
  fc.assert(
    fc.property(anyDraws, (strategies) => {
      const there = acceptability(strategies, [0, 3, 50]);
      const back = acceptability(strategies.toReversed(), [0, 3, 50]);
      expect(back.curves).toEqual(there.curves);
    }),
  );
});

test("counting money in another currency changes nothing when the threshold follows", () => {
  fc.assert(
    fc.property(anyDraws, (strategies) => {
      const scaled = strategies.map((s) => ({ ...s, cost: s.cost.map((c) => c * 64) }));
      const there = acceptability(strategies, [0, 3, 50]);
      const here = acceptability(scaled, [0, 192, 3200]);
      expect({ ...here, thresholds: there.thresholds }).toEqual(there);
    }),
  );
});
