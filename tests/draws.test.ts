import { spawnSync } from "node:child_process";
import { describe, expect, test } from "vitest";
import { normalPerfectInformation } from "../src/analysis/normal-information.ts";
import { sampleRows } from "../src/engine/sample.ts";
import { folderFiles } from "../src/host/files.ts";
import { plain } from "../src/numerics/designs/plain.ts";
import { openStudy, runBoard, runParts, runStudy, type Study } from "../src/study.ts";
import { freshBuild } from "./built.ts";
import { caseFiles, findingsOf, scenarioPath } from "./case.ts";

const hiv = "scenarios/published/hiv-mono-vs-combo.scenario.yaml";
const study = openStudy(folderFiles("."), hiv);

function hash(
  of: Study,
  draws: number,
  { blockDraws, seed = "a" }: { readonly blockDraws?: number; readonly seed?: string } = {},
): { readonly hash: string; readonly totals: Float64Array } {
  const options = { draws, seed, keepRows: true };
  const board = runBoard(of, options, blockDraws === undefined ? {} : { blockDraws });
  const { document, table } = runParts(of, { ...options, board });
  return { hash: document.answers.sure!.outcomesHash, totals: table!.outcomes };
}

describe("the same seed gives the same bits", () => {
  test("whatever the block size, and other bits with another seed", () => {
    const hashes = [64, 100, 250, 7].map((blockDraws) => hash(study, 600, { blockDraws }).hash);
    expect(new Set(hashes).size).toBe(1);
    expect(hash(study, 600, { seed: "b" }).hash).not.toBe(hashes[0]);
  });

  test("for draws alone or as the head of twice as many", () => {
    const alone = hash(study, 1500).totals;
    const longer = hash(study, 3000).totals;
    expect(longer.subarray(0, alone.length)).toEqual(alone);
  });

  test("in two processes", async () => {
    await freshBuild();
    const run = (): { answers: { sure: { outcomesHash: string } }; meta: { hash: string } } => {
      const done = spawnSync(
        process.execPath,
        ["src/cli/steelyard.mjs", "run", hiv, "--draws", "500", "--seed", "two", "--json"],
        { encoding: "utf8" },
      );
      expect(done.stderr).toBe("");
      return JSON.parse(done.stdout);
    };
    const [first, second] = [run(), run()];
    expect(second).toEqual(first);
    expect(first.answers.sure.outcomesHash).toBe(
      runStudy(study, { draws: 500, seed: "two" }).answers.sure?.outcomesHash,
    );
  });
});

// Two strategies whose net benefits differ by a normal amount, mean 500 and sd 2,000 (constructed; closed form after
// Raiffa and Schlaifer 1961 in analysis/normal-information.ts).
const normal = openStudy(
  caseFiles(
    `
    strategies: { old: { label: Old }, new: { label: New, has: [is_new] } }
    inputs: { gain: { is: money } }
    events: { paying: { at: 0 } }
    accounts:
      cost: { in: money, lines: { gain: { on: paying, amount: "is_new ? -gain : 0" } } }
      life_years: { in: year, lines: { alive: { amount: 1 } } }
    `,
    `
    settings: { money: { unit: EUR }, horizon: 1 cycle, effect: life_years, thresholds: [1000 EUR/year] }
    inputs: { gain: { mean: 500 EUR, se: 2000 EUR, source: constructed } }
    `,
  ),
  scenarioPath,
);

describe("value of perfect information of a normal net benefit", () => {
  const exact = normalPerfectInformation({ mean: 500, sd: 2000 });
  test("within 3 standard errors on plain draws", () => {
    const { sure } = runStudy(normal, { draws: 20_000, seed: "voi" }).answers;
    const at = sure!.acceptability.thresholds.indexOf(1000);
    expect(exact).toBeCloseTo(572.6893964471604, 6);
    expect(Math.abs(sure!.evpi[at]! - exact)).toBeLessThan(3 * sure!.evpiError[at]!);
    expect(sure!.evpiError[at]!).toBeLessThan(20);
  });
  test("within 1% on quasi draws, and better than plain ones", () => {
    const { sure } = runStudy(normal, { draws: 16_384, seed: "voi", design: "quasi" }).answers;
    const at = sure!.acceptability.thresholds.indexOf(1000);
    expect(Math.abs(sure!.evpi[at]! / exact - 1)).toBeLessThan(0.01);
    expect(sure!.evpiError[at]!).toBeLessThan(2);
  });
});

describe("acceptability", () => {
  test("the frontier is not the highest curve where a rare large gain decides the mean (constructed)", () => {
    const skewed = openStudy(
      caseFiles(
        `
        strategies: { a: { label: A }, b: { label: B, has: [is_b] } }
        inputs: { gain: { is: money } }
        events: { paying: { at: 0 } }
        accounts:
          cost: { in: money, lines: { gain: { on: paying, amount: "is_b ? -gain : 0" } } }
          life_years: { in: year, lines: { alive: { amount: 1 } } }
        `,
        `
        settings: { money: { unit: EUR }, horizon: 1 cycle, effect: life_years, thresholds: [10 EUR/year] }
        inputs: { gain: { draws: gain.csv, column: gain, in: EUR, source: constructed } }
        `,
        { "scenarios/gain.csv": "gain\n-10\n-10\n-10\n50\n-10\n" },
      ),
      scenarioPath,
    );
    const { sure, worth } = runStudy(skewed, { draws: 4000, seed: "skew" }).answers;
    const at = sure!.acceptability.thresholds.indexOf(10);
    expect(worth.best["10"]).toBe("b");
    expect(sure!.acceptability.best[at]).toBe("b");
    expect(sure!.acceptability.frontier[at]!).toBe(sure!.acceptability.curves["b"]![at]!);
    expect(Math.abs(sure!.acceptability.curves["b"]![at]! - 0.2)).toBeLessThan(0.025);
    expect(sure!.acceptability.curves["a"]![at]!).toBeGreaterThan(sure!.acceptability.frontier[at]!);
  });

  test("sums to 1 at every threshold, and the value of information is never below 0", () => {
    const { sure } = runStudy(study, { draws: 1000, seed: "sums" }).answers;
    for (const [i] of sure!.acceptability.thresholds.entries()) {
      const sum = Object.values(sure!.acceptability.curves).reduce((total, curve) => total + curve[i]!, 0);
      expect(Math.abs(sum - 1)).toBeLessThan(1e-12);
      expect(sure!.evpi[i]!).toBeGreaterThanOrEqual(0);
    }
  });

  test("a single draw, a stratified run of few and a seed with a slash are refused with their place", () => {
    for (const options of [{ draws: 1 }, { draws: 8, design: "stratified" as const }, { draws: 100, seed: "a/b" }]) {
      expect(() => runStudy(study, options)).toThrow(/out of range|invalid seed/);
    }
  });
});

describe("inputs that hang together", () => {
  const model = `
    inputs:
      a: { is: number }
      b: { is: number }
      low: { is: utility }
      mid: { is: utility }
      top: { is: utility }
      twin: { is: number }
      parts: { is: share, over: [x, y, z] }
      cut: { is: number }
    formulas: { all: a + b + twin + cut + parts.x }
    curves: { all: { of: all }, low: { of: low + mid + top } }
    events: { nothing: { at: 0 } }
    accounts: { cost: { in: money, lines: { none: { amount: 0 } } }, life_years: { in: year, lines: { alive: { amount: 1 } } } }
  `;
  const scenario = `
    settings: { money: { unit: EUR }, horizon: 1 cycle, effect: life_years }
    inputs:
      a: { mean: 1, se: 2, source: constructed }
      b: { mean: -3, se: 0.5, source: constructed }
      low: { mean: 0.6, se: 0.05, source: constructed }
      mid: { mean: 0.7, se: 0.06, source: constructed }
      top: { mean: 0.8, se: 0.07, source: constructed }
      twin: { same_as: a, source: constructed }
      parts: { observed: { counts: { x: 10, y: 5 } }, source: constructed }
      cut: { mean: 0, se: 1, range: [-2.5, 2.5], source: constructed }
    correlated: [{ inputs: [a, b], matrix: [[1, -0.7], [-0.7, 1]] }]
    ordered: [[low, mid, top]]
  `;
  const joined = openStudy(caseFiles(model, scenario), scenarioPath);
  const N = 20_000;
  const rows = sampleRows(joined.sampler, plain("joint", N), 0, N);
  const width = joined.program.components.length;
  const column = (key: string): number[] => {
    const at = joined.program.components.findIndex((component) => component.key === key);
    return Array.from({ length: N }, (_, k) => rows[k * width + at]!);
  };
  const mean = (x: readonly number[]): number => x.reduce((sum, v) => sum + v, 0) / x.length;
  const sd = (x: readonly number[]): number => Math.sqrt(mean(x.map((v) => (v - mean(x)) ** 2)));

  test("correlation is recovered and marginals are kept", () => {
    const [a, b] = [column("a"), column("b")];
    const r = mean(a.map((v, i) => (v - mean(a)) * (b[i]! - mean(b)))) / (sd(a) * sd(b));
    expect(Math.abs(r + 0.7)).toBeLessThan(4 * ((1 - 0.49) / Math.sqrt(N)));
    expect(Math.abs(mean(a) - 1)).toBeLessThan((4 * 2) / Math.sqrt(N));
    expect(Math.abs(sd(b) - 0.5)).toBeLessThan((4 * 0.5) / Math.sqrt(2 * N));
  });
  test("ordered values never cross, and keep their means", () => {
    const [low, mid, top] = [column("low"), column("mid"), column("top")];
    expect(low.every((v, i) => v <= mid[i]! && mid[i]! <= top[i]! && top[i]! <= 1)).toBe(true);
    for (const [values, expected] of [
      [low, 0.6],
      [mid, 0.7],
      [top, 0.8],
    ] as const)
      expect(Math.abs(mean(values) - expected)).toBeLessThan(0.004);
  });
  test("the same value is the same draw, shares sum to 1, a cell not listed stays 0, a range holds", () => {
    expect(column("twin")).toEqual(column("a"));
    const [x, y, z] = ["x", "y", "z"].map((cell) => column(`parts[${cell}]`));
    expect(x!.every((v, i) => Math.abs(v + y![i]! + z![i]! - 1) < 1e-12)).toBe(true);
    expect(z!.every((v) => v === 0)).toBe(true);
    // Dirichlet mean with a prior of 0.5 on each listed cell
    expect(Math.abs(mean(x!) - 10.5 / 16)).toBeLessThan(0.005);
    expect(column("cut").every((v) => v >= -2.5 && v <= 2.5)).toBe(true);
  });
  test("a draw's row does not depend on the range it is asked in", () => {
    const part = sampleRows(joined.sampler, plain("joint", N), 1000, 1100);
    expect(part).toEqual(rows.subarray(1000 * width, 1100 * width));
  });
  test.each([
    ["correlated: [{ inputs: [a, c], matrix: [[1, 0], [0, 1]] }]", "unknown-reference"],
    ["correlated: [{ inputs: [a, b], matrix: [[1, 2], [2, 1]] }]", "evidence-invalid"],
    ["correlated: [{ inputs: [a, b], matrix: [[1, 0.5], [0.4, 1]] }]", "evidence-invalid"],
    ["correlated: [{ inputs: [a, a], matrix: [[1, 0.5], [0.5, 1]] }]", "evidence-invalid"],
    ["ordered: [[top, low]]", "evidence-invalid"],
  ])("%s is refused", (given, code) => {
    const kept = scenario
      .split("\n")
      .filter((line) => !/^\s*(correlated|ordered)/.test(line))
      .join("\n");
    expect(findingsOf(model, `${kept.trimEnd()}\n    ${given}\n`).map((found) => found.code)).toEqual([code]);
  });
});
