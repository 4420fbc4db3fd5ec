import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { exp } from "../../src/numerics/exp.ts";
import { findRoot } from "../../src/numerics/root.ts";

const rootOf = (f: (x: number) => number, low: number, high: number, tolerance = 0) => {
  const root = findRoot(f, low, high, tolerance);
  if (root.kind !== "found") throw new Error(root.kind);
  return root;
};

describe("bracketed root", () => {
  test.each([
    ["a parabola", (x: number) => x * x - 2, 0, 2, Math.SQRT2, "Math.SQRT2"],
    ["a parabola, ends exchanged", (x: number) => x * x - 2, 2, 0, Math.SQRT2, "Math.SQRT2"],
    ["an exponential", (x: number) => exp(x) - 10, -50, 50, Math.LN10, "Math.LN10"],
    // Dottie-like equation x = exp(-x): the omega constant, OEIS A030178.
    ["x = exp(-x)", (x: number) => x - exp(-x), 0, 1, 0.5671432904097838, "OEIS A030178"],
    ["a triple root", (x: number) => (x - 1) ** 3, 0, 3, 1, "by construction"],
    ["a step", (x: number) => (x < 0.3 ? -1 : 1), 0, 1, 0.3, "by construction"],
    ["a pole seen as a change of sign", (x: number) => 1 / (x - 0.3), 0, 1, 0.3, "by construction"],
    ["infinite values at an end", (x: number) => (x === 0 ? -Infinity : 1 - 1 / x), 0, 5, 1, "by construction"],
  ])("of %s is found", (_, f, low, high, x) => {
    const root = rootOf(f, low, high);
    expect(Math.abs(root.x - x)).toBeLessThanOrEqual(4 * Number.EPSILON * x);
    // The triple root, where Brent's method is at its slowest, takes 156.
    expect(root.evaluations).toBeLessThan(160);
  });

  test("takes few evaluations on a smooth function", () => {
    expect(rootOf((x) => exp(x) - 10, -50, 50).evaluations).toBeLessThan(25);
  });

  test("at an end is returned at once", () => {
    expect(findRoot((x) => x, 0, 1, 0)).toEqual({ kind: "found", x: 0, value: 0, evaluations: 2 });
    expect(findRoot((x) => x, -1, 0, 0)).toEqual({ kind: "found", x: 0, value: 0, evaluations: 2 });
  });

  test("is no exception where the signs do not differ", () => {
    expect(findRoot((x) => x * x + 1, -1, 2, 0)).toEqual({ kind: "no sign change", lowValue: 2, highValue: 5 });
  });

  test("reports where the function is not a number", () => {
    expect(findRoot((x) => (x > 0.4 && x < 0.6 ? Number.NaN : x - 0.5), 0, 1, 0)).toMatchObject({
      kind: "not a number",
    });
  });

  test("refuses ends that are not finite and tolerances below zero", () => {
    expect(() => findRoot((x) => x, -Infinity, 1, 0)).toThrow("finite");
    expect(() => findRoot((x) => x, -1, 1, -1)).toThrow("tolerance");
  });

  test("lies within the tolerance of a change of sign", () => {
    const place = fc.double({ min: -9, max: 9, noNaN: true });
    fc.assert(
      fc.property(place, fc.double({ min: 0.1, max: 5, noNaN: true }), (x, slope) => {
        const f = (t: number) => slope * (t - x) * (1 + (t - x) ** 2);
        const root = rootOf(f, -10, 10, 1e-8);
        expect(Math.abs(root.x - x)).toBeLessThanOrEqual(1e-8 + 1e-14);
      }),
    );
  });
});
