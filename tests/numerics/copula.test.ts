import { expect, test } from "vitest";
import { choleskyFactor, correlateUniforms, spearmanToNormal } from "../../src/numerics/copula.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { gamma } from "../../src/numerics/distributions/gamma.ts";
import { covariance, mean, variance } from "../../src/numerics/moments.ts";
import { normalQuantile } from "../../src/numerics/special/normal-quantile.ts";

const DRAWS = 40_000;
const columns = (n: number): Float64Array[] =>
  Array.from({ length: n }, (_, i) => {
    const column = new Float64Array(DRAWS);
    plain(11, DRAWS).fill(`x[${i}]`, i, 0, DRAWS, column);
    return column;
  });
const correlation = (x: Float64Array, y: Float64Array): number =>
  covariance(x, y) / Math.sqrt(variance(x) * variance(y));
const ranks = (x: Float64Array): Float64Array => {
  const rank = new Float64Array(x.length);
  [...x.keys()]
    .sort((a, b) => x[a]! - x[b]!)
    .forEach((k, place) => {
      rank[k] = place;
    });
  return rank;
};

test("the factor times its transpose is the matrix", () => {
  const matrix = Float64Array.of(1, 0.5, -0.3, 0.5, 1, 0.2, -0.3, 0.2, 1);
  const l = choleskyFactor(matrix, 3)!;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) {
      let sum = 0;
      for (let m = 0; m < 3; m++) sum += l[i * 3 + m]! * l[j * 3 + m]!;
      expect(Math.abs(sum - matrix[i * 3 + j]!)).toBeLessThan(4e-16);
    }
});

test.each([
  ["a correlation above 1", [1, 2, 2, 1]],
  ["a perfect correlation", [1, 1, 1, 1]],
  ["three that exclude each other", [1, 0.9, -0.9, 0.9, 1, 0.9, -0.9, 0.9, 1]],
  ["a number that is none", [1, Number.NaN, Number.NaN, 1]],
])("%s has no factor", (_, entries) => {
  expect(choleskyFactor(Float64Array.from(entries), Math.sqrt(entries.length))).toBeUndefined();
});

test("scores have the correlations asked for, and inputs keep their laws", () => {
  const matrix = [1, 0.5, -0.3, 0.5, 1, 0.2, -0.3, 0.2, 1];
  const u = columns(3);
  const first = u[0]!.slice();
  correlateUniforms(u, choleskyFactor(Float64Array.from(matrix), 3)!);
  const scores = u.map((column) => column.map((p) => normalQuantile(p)));
  for (const [i, j] of [
    [0, 1],
    [0, 2],
    [1, 2],
  ] as const) {
    const r = matrix[i * 3 + j]!;
    // standard error of a correlation of normals: (1 - r^2) / sqrt(N)
    expect(Math.abs(correlation(scores[i]!, scores[j]!) - r)).toBeLessThan((4 * (1 - r * r)) / Math.sqrt(DRAWS));
  }
  for (const column of u) {
    expect(Math.abs(mean(column) - 0.5) * Math.sqrt(12 * DRAWS)).toBeLessThan(4);
    for (const p of [0.01, 0.1, 0.5, 0.9, 0.99]) {
      const below = column.filter((x) => x <= p).length;
      expect(Math.abs(below - DRAWS * p) / Math.sqrt(DRAWS * p * (1 - p))).toBeLessThan(4);
    }
    expect(column.every((x) => x > 0 && x < 1)).toBe(true);
  }
  const cost = gamma(4, 10);
  const values = u[2]!.map((p) => cost.quantile(p));
  expect(Math.abs(mean(values) - 40) / Math.sqrt(cost.variance / DRAWS)).toBeLessThan(4);
  expect(Math.max(...first.map((p, k) => Math.abs(p - u[0]![k]!)))).toBeLessThan(1e-15);
});

test("the farthest uniforms stay inside the interval under strong correlation", () => {
  const ends = [2 ** -53, 1 - 2 ** -53];
  const u = Array.from({ length: 4 }, () => Float64Array.from(ends));
  const matrix = Float64Array.from({ length: 16 }, (_, i) => (i % 5 === 0 ? 1 : 0.9));
  correlateUniforms(u, choleskyFactor(matrix, 4)!);
  for (const column of u) for (const x of column) expect(x > 0 && x < 1).toBe(true);
});

test("a rank correlation is recovered through its normal-score correlation", () => {
  expect(spearmanToNormal(0)).toBe(0);
  expect(spearmanToNormal(1)).toBeCloseTo(1, 15);
  expect(spearmanToNormal(-0.5)).toBeCloseTo(-2 * Math.sin(Math.PI / 12), 15);
  for (const rho of [-0.7, 0.4]) {
    const r = spearmanToNormal(rho);
    const u = columns(2);
    correlateUniforms(u, choleskyFactor(Float64Array.of(1, r, r, 1), 2)!);
    expect(Math.abs(correlation(ranks(u[0]!), ranks(u[1]!)) - rho)).toBeLessThan(4 / Math.sqrt(DRAWS));
  }
});
