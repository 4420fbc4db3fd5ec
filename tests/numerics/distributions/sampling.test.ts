import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { plain } from "../../../src/numerics/designs/plain.ts";
import { beta } from "../../../src/numerics/distributions/beta.ts";
import { dirichlet } from "../../../src/numerics/distributions/dirichlet.ts";
import type { Distribution } from "../../../src/numerics/distributions/distribution.ts";
import { gamma } from "../../../src/numerics/distributions/gamma.ts";
import { logNormal } from "../../../src/numerics/distributions/log-normal.ts";
import { logitNormal } from "../../../src/numerics/distributions/logit-normal.ts";
import { normal } from "../../../src/numerics/distributions/normal.ts";
import { reflected } from "../../../src/numerics/distributions/reflected.ts";
import { studentT } from "../../../src/numerics/distributions/student-t.ts";
import { truncated } from "../../../src/numerics/distributions/truncated.ts";
import { uniform } from "../../../src/numerics/distributions/uniform.ts";
import { mean, variance } from "../../../src/numerics/moments.ts";

const DRAWS = 50_000;
/** Standard errors allowed; some 150 comparisons at a fixed seed, so a right sampler fails about once in 50 seeds. */
const LIMIT = 4;

const probabilities = [0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.99];
const path = new URL("../../fixtures/distributions/quantiles.json", import.meta.url);
const base = JSON.parse(readFileSync(path, "utf8"));

/** Quantiles of base R from the fixture; see quantiles.R. */
function published(family: string, parameters: readonly number[]): readonly number[] {
  const found = base.laws.find(
    (law: { family: string; parameters: number | number[] }) =>
      law.family === family && String(law.parameters) === String(parameters),
  );
  return probabilities.map((p) => found.quantiles[base.probabilities.indexOf(p)]);
}

const z = published("normal", [0, 1]);
const logistic = (x: number) => 1 / (1 + Math.exp(-x));
const cut = (p: number) => 0.25 + 0.5 * p;
const cases: readonly (readonly [string, Distribution, readonly number[]])[] = [
  ["normal", normal(-3, 0.2), published("normal", [-3, 0.2])],
  ["uniform", uniform(-1, 3), probabilities.map((p) => 4 * p - 1)],
  ["log-normal", logNormal(1.5, 0.5), published("log-normal", [1.5, 0.5])],
  ["logit-normal", logitNormal(-1, 0.7), z.map((score) => logistic(0.7 * score - 1))],
  [
    "gamma",
    gamma(12.674940721401212, 417.67453721193806),
    published("gamma", [12.674940721401212, 417.67453721193806]),
  ],
  ["gamma of shape 1/2", gamma(0.5, 1), published("gamma", [0.5, 1])],
  ["beta", beta(50, 10), published("beta", [50, 10])],
  ["beta of small shapes", beta(0.5, 0.5), published("beta", [0.5, 0.5])],
  ["Student t", studentT(10), published("Student t", [10])],
  [
    "one minus gamma",
    reflected(gamma(3, 1), 1),
    published("gamma", [3, 1])
      .map((q) => 1 - q)
      .reverse(),
  ],
  ["truncated uniform", truncated(uniform(0, 4), 1, 3), probabilities.map((p) => 4 * cut(p))],
];

/** Mean, variance and nine quantiles of values lie within the limit of what the law says. */
function expectSample(values: Float64Array, law: Distribution, quantiles: readonly number[]): void {
  const n = values.length;
  const m = mean(values);
  expect(Math.abs(m - law.mean) / Math.sqrt(law.variance / n), "mean").toBeLessThan(LIMIT);
  const squares = values.map((x) => (x - law.mean) * (x - law.mean));
  const error = Math.sqrt(variance(squares) / n);
  expect(Math.abs(variance(values) - law.variance) / error, "variance").toBeLessThan(LIMIT);
  for (const [i, p] of probabilities.entries()) {
    const below = values.filter((x) => x <= quantiles[i]!).length;
    expect(Math.abs(below - n * p) / Math.sqrt(n * p * (1 - p)), `quantile ${p}`).toBeLessThan(LIMIT);
  }
}

test.each(cases)("draws of a %s law have its mean, variance and nine quantiles", (name, law, quantiles) => {
  const u = new Float64Array(DRAWS);
  plain(1, DRAWS).fill(name, 0, 0, DRAWS, u);
  expectSample(
    u.map((p) => law.quantile(p)),
    law,
    quantiles,
  );
});

describe("draws of a Dirichlet law", () => {
  const alphas = [4, 0.5, 0, 2, 1.5];
  const law = dirichlet(alphas);
  const design = plain(3, DRAWS);
  const u = alphas.slice(1).map((_, cell) => {
    const column = new Float64Array(DRAWS);
    design.fill(`share[${cell}]`, cell, 0, DRAWS, column);
    return column;
  });
  const cells = alphas.map(() => new Float64Array(DRAWS));
  const shares = new Float64Array(alphas.length);
  for (let k = 0; k < DRAWS; k++) {
    law.shares(
      u.map((column) => column[k]!),
      shares,
    );
    for (const [cell, column] of cells.entries()) column[k] = shares[cell]!;
  }

  test.each([0, 1, 3, 4])("have in cell %d the beta law of that cell", (cell) => {
    const marginal = law.marginal(cell);
    expectSample(
      cells[cell]!,
      marginal,
      probabilities.map((p) => marginal.quantile(p)),
    );
  });

  test("covary as -a_i a_j / (A^2 (A + 1))", () => {
    const products = cells[0]!.map((x, k) => (x - law.means[0]!) * (cells[3]![k]! - law.means[3]!));
    const exact = -(4 * 2) / (8 * 8 * 9);
    expect(Math.abs(mean(products) - exact) / Math.sqrt(variance(products) / DRAWS)).toBeLessThan(LIMIT);
  });
});
