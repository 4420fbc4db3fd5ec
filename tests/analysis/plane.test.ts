import fc from "fast-check";
import { expect, test } from "vitest";
import { acceptability } from "../../src/analysis/acceptability.ts";
import { incrementalCloud, shareUnderThreshold } from "../../src/analysis/plane.ts";
import type { StrategyDraws } from "../../src/analysis/strategy-draws.ts";
import { anyDraws } from "./draws.ts";

function draws(id: string, pairs: readonly (readonly [cost: number, effect: number])[]): StrategyDraws {
  return { id, cost: Float64Array.from(pairs, ([c]) => c), effect: Float64Array.from(pairs, ([, e]) => e) };
}

const reference = draws(
  "usual",
  Array.from({ length: 10 }, () => [100, 2] as const),
);
// Constructed: one draw in each quadrant, then the four half-axes, the origin, and the origin up to rounding.
const around = draws("new", [
  [80, 3],
  [120, 1],
  [150, 3],
  [50, 1],
  [80, 2],
  [100, 3],
  [120, 2],
  [100, 1],
  [100, 2],
  [100, 2 * (1 + 1e-12)],
]);

test("draws on an axis go to the side that is no worse or no better", () => {
  const cloud = incrementalCloud(around, reference);
  expect([cloud.id, cloud.reference]).toEqual(["new", "usual"]);
  expect(cloud.quadrants).toEqual({
    dominates: 0.3,
    "is dominated": 0.3,
    "costs more and yields more": 0.1,
    "costs less and yields less": 0.1,
    equal: 0.2,
  });
  expect(Array.from(cloud.deltaCost)).toEqual([-20, 20, 50, -50, -20, 0, 20, 0, 0, 0]);
  expect(Array.from(cloud.deltaEffect).slice(0, 9)).toEqual([1, -1, 1, -1, 0, 1, 0, -1, 0]);
});

test("a draw on the ray counts half", () => {
  // Constructed: at 50 per unit the third and fourth draws lie on the ray, the last two at the origin.
  expect(shareUnderThreshold(around, reference, 50)).toBe((3 + 4 / 2) / 10);
  expect(shareUnderThreshold(around, reference, 60)).toBe((4 + 2 / 2) / 10);
  // At 0 only money counts: three draws save, four cost as much.
  expect(shareUnderThreshold(around, reference, 0)).toBe((3 + 4 / 2) / 10);
});

test("the ellipse is centred on the mean, effect across and cost up", () => {
  // Constructed: effect differences 0 and 2, cost differences 0 and 4; all on one line with variances 2 and 8.
  const cloud = incrementalCloud(
    draws("new", [
      [10, 1],
      [14, 3],
    ]),
    draws("usual", [
      [10, 1],
      [10, 1],
    ]),
  );
  expect(cloud.ellipse?.centre).toEqual({ x: 1, y: 2 });
  expect(cloud.ellipse?.longAxis.y).toBeCloseTo(2 / Math.sqrt(5), 14);
  expect(cloud.ellipse?.shortHalf).toBe(0);
  // -2 ln 0.05 = 5.991464547107979, the chi-square quantile with 2 degrees of freedom.
  expect(cloud.ellipse?.longHalf).toBeCloseTo(Math.sqrt(10 * 5.991464547107979), 12);
});

test("a single draw has no ellipse", () => {
  expect(incrementalCloud(draws("new", [[1, 1]]), draws("usual", [[0, 0]])).ellipse).toBeNull();
});

test("the share under the ray is the acceptability of two strategies", () => {
  fc.assert(
    fc.property(anyDraws, fc.integer({ min: 0, max: 9 }), (strategies, threshold) => {
      const [first, second] = strategies;
      fc.pre(first !== undefined && second !== undefined);
      const curve = acceptability([first, second], [threshold]).curves[first.id];
      expect(shareUnderThreshold(first, second, threshold)).toBe(curve?.[0]);
    }),
  );
});

test("seen from the other side every point is mirrored", () => {
  fc.assert(
    fc.property(anyDraws, (strategies) => {
      const [first, second] = strategies;
      fc.pre(first !== undefined && second !== undefined);
      const there = incrementalCloud(first, second);
      const back = incrementalCloud(second, first);
      expect(back.quadrants.dominates).toBe(there.quadrants["is dominated"]);
      expect(back.quadrants["costs less and yields less"]).toBe(there.quadrants["costs more and yields more"]);
      expect(back.quadrants.equal).toBe(there.quadrants.equal);
      expect(back.ellipse?.longHalf).toBe(there.ellipse?.longHalf);
      expect(Object.values(there.quadrants).reduce((a, b) => a + b, 0)).toBeCloseTo(1, 14);
    }),
  );
});
