import { describe, expect, test } from "vitest";
import { identity, multiply } from "../../src/numerics/matrix.ts";
import { pow } from "../../src/numerics/pow.ts";
import { transitionOver, transitionPower } from "../../src/numerics/transition.ts";

const power = (a: Float64Array, n: number, times: number) => {
  let result = identity(n);
  for (let m = 0; m < times; m++) result = multiply(result, a, n);
  return result;
};
const near = (a: Float64Array, b: readonly number[], tolerance: number) => {
  expect(a.length).toBe(b.length);
  a.forEach((value, i) => {
    expect(Math.abs(value - b[i]!), `entry ${i}: ${value} against ${b[i]}`).toBeLessThan(tolerance);
  });
};

describe("transition matrix of a month from that of a year", () => {
  // 0.6 is a double eigenvalue with one eigenvector, so the matrix cannot be diagonalised.
  const year = Float64Array.of(0.6, 0.2, 0.2, 0, 0.6, 0.4, 0, 0, 1);

  test("is exact for a matrix that cannot be diagonalised", () => {
    const month = transitionPower(year, 3, 1 / 12);
    if (month.kind !== "power") throw new Error(month.kind);
    // Closed form: with d = 0.6^(1/12) the root of [[0.6, 0.2], [0, 0.6]] is [[d, 0.2 d / (12 * 0.6)], [0, d]].
    const root = [
      [0.958324528627148, 0.026620125795198558, 0.015055345577653433],
      [0, 0.958324528627148, 0.04167547137285199],
      [0, 0, 1],
    ].flat();
    near(month.matrix, root, 1e-12);
    near(power(month.matrix, 3, 12), [...year], 1e-12);
    expect(month.least).toBeGreaterThanOrEqual(-1e-15);
  });

  test("is not what converting the entries one by one gives", () => {
    const wrong = year.map((p, i) => (i % 4 === 0 ? 0 : 1 - pow(1 - p, 1 / 12)));
    for (let i = 0; i < 3; i++) wrong[i * 4] = 1 - wrong[i * 3]! - wrong[i * 3 + 1]! - wrong[i * 3 + 2]!;
    const back = power(wrong, 3, 12);
    // The same conversion with numpy 2.4.6 (linalg.matrix_power).
    near(back.subarray(0, 3), [0.63729968, 0.14231857, 0.22038175], 1e-8);
    expect(Math.abs(back[1]! - year[1]!)).toBeGreaterThan(0.05);
  });

  test("shows a root with negative entries instead of repairing it", () => {
    // A three-state cycle with direct jumps missing: no stochastic root exists.
    const root = transitionPower(Float64Array.of(0.8, 0.2, 0, 0, 0.8, 0.2, 0.2, 0, 0.8), 3, 1 / 12);
    if (root.kind !== "power") throw new Error(root.kind);
    expect(root.least).toBeLessThan(-1e-4);
  });

  test("says so where there is no real root", () => {
    expect(transitionPower(Float64Array.of(0.2, 0.8, 0.8, 0.2), 2, 1 / 12)).toEqual({ kind: "no real logarithm" });
  });

  test("is the identity for no time and the matrix itself for a cycle", () => {
    const none = transitionPower(year, 3, 0);
    const one = transitionPower(year, 3, 1);
    if (none.kind !== "power" || one.kind !== "power") throw new Error("no power");
    near(none.matrix, [...identity(3)], 1e-15);
    near(one.matrix, [...year], 1e-14);
  });
});

describe("transition matrix from rates", () => {
  test("counts several moves within the time (closed form of the illness-death chain)", () => {
    const p = transitionOver(Float64Array.of(-0.156, 0.15, 0.006, 0, -0.06, 0.06, 0, 0, 0), 3, 1);
    // Closed form, Jones, Epstein, Garcia-Mochon 2017: p00 = exp(-0.156),
    // p01 = 0.15 (exp(-0.06) - exp(-0.156)) / (0.156 - 0.06), p02 the rest.
    near(p.subarray(0, 3), [0.8555591903710185, 0.13469584877067228, 0.009744960858309226], 1e-12);
  });

  test("is the identity after no time", () => {
    near(transitionOver(Float64Array.of(-1, 1, 0, 0), 2, 0), [1, 0, 0, 1], 1e-300);
  });

  test("refuses what is no generator", () => {
    expect(() => transitionOver(Float64Array.of(-1, 0.5, 0, 0), 2, 1)).toThrow("row 0");
    expect(() => transitionOver(Float64Array.of(1, -1, 0, 0), 2, 1)).toThrow("rate out of range");
    expect(() => transitionOver(Float64Array.of(0), 1, -1)).toThrow("time out of range");
  });
});
