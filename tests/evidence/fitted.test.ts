import { describe, expect, test } from "vitest";
import { evaluateRows, prepareRows } from "../../src/engine/rows.ts";
import { sampleRows } from "../../src/engine/sample.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { register } from "../../src/report/register.ts";
import { openStudy, runReference, type Study } from "../../src/study.ts";
import { caseFiles, findingsOf, scenarioPath } from "../case.ts";

const model = `
  strategies: { a: { label: A }, b: { label: B } }
  inputs:
    peak: { is: change, by: strategy }
    regain: { is: rate, per: year }
    lasting: { is: share }
    risk: { is: probability, per: year }
  formulas: { lost: "peak * (lasting + (1 - lasting) * exp(-regain * time))" }
  accounts:
    cost: { in: money, lines: { none: { amount: 0 } } }
    life_years: { in: year, lines: { alive: { amount: "lost * (1 - risk)" } } }`;

const course = `
      family: return to a plateau
      points:
        - { at: 0 months, mean: 0.131, se: 0.004 }
        - { at: 6 months, mean: 10.4%, se: 0.005 }
        - { at: 1 year, mean: 0.083, sd: 0.05, n: 100 }
        - { at: 2 years, mean: 0.071, se: 0.006 }
        - { at: 4 years, mean: 0.058, se: 0.009 }
      source: { cite: invented }`;
const scenario = (inputs = "", fitted = course): string => `
  fitted:
    way_back:${fitted}
  inputs:
    peak: { by: { a: { fitted: way_back.start }, b: { same_as: a } }, source: invented }
    regain: { fitted: way_back.rate }
    lasting: { fitted: way_back.lasting }
    risk: { fixed: 0, why: by construction, source: invented }
${inputs}`;

const open = (text = scenario()): Study => openStudy(caseFiles(model, text), scenarioPath);
const part = (study: Study, key: string): number => study.program.components.findIndex((one) => one.key === key);
const keys = ["peak[a]", "regain", "lasting"];

describe("inputs taken from a fitted course", () => {
  test("have the estimates as base values, the laws of their scales and the source of the course", () => {
    const { program, sampler } = open();
    // nls of base R on the same points: fixtures/courses, five_points
    const found = keys.map((key) => program.components.find((one) => one.key === key)!);
    expect(found[0]!.base).toBeCloseTo(0.13113845223729731, 8);
    expect(found[1]!.base).toBeCloseTo(Math.exp(0.00046884475587529519), 6);
    expect(found[2]!.base).toBeCloseTo(1 / (1 + Math.exp(0.21130448349607)), 6);
    expect(found.map(({ source }) => source)).toEqual(["invented", { cite: "invented" }, { cite: "invented" }]);
    const families = keys.map((key) => {
      const drawing = sampler.laws.drawings[program.components.findIndex((one) => one.key === key)]!;
      return drawing.how === "law" ? drawing.law.family : drawing.how;
    });
    expect(families).toEqual(["normal", "log-normal", "logit-normal"]);
  });

  test("are drawn together with the correlations of the fit", () => {
    const study = open();
    const { program, sampler } = study;
    const width = program.components.length;
    const count = 20_000;
    const rows = sampleRows(sampler, plain("fitted", count), 0, count);
    const on = [(x: number) => x, Math.log, (x: number) => Math.log(x / (1 - x))];
    const columns = keys.map((key, j) =>
      Array.from({ length: count }, (_, k) => on[j]!(rows[k * width + part(study, key)]!)),
    );
    const mean = (list: readonly number[]): number => list.reduce((sum, x) => sum + x, 0) / list.length;
    const covariance = (a: readonly number[], b: readonly number[]): number => {
      const [ma, mb] = [mean(a), mean(b)];
      return mean(a.map((x, k) => (x - ma) * (b[k]! - mb)));
    };
    const [fit] = register(program).fits;
    for (const i of [0, 1, 2])
      for (const j of [0, 1, 2]) {
        const [a, b] = [columns[i]!, columns[j]!];
        const found = covariance(a, b) / Math.sqrt(covariance(a, a) * covariance(b, b));
        // five standard errors of a correlation of so many draws
        expect(Math.abs(found - fit!.correlation[i]![j]!)).toBeLessThan(5 / Math.sqrt(count));
      }
    const [sameA, sameB] = ["peak[a]", "peak[b]"].map((key) => part(study, key));
    expect(rows[sameA!]).toBe(rows[sameB!]);
    expect(fit!.correlation[1]![2]).toBeGreaterThan(0.5);
  });

  test("run alike through the referee and through rows", () => {
    const study = open();
    const { program, expansion } = study;
    const T = program.grid.cycles;
    const width = program.components.length;
    const rows = sampleRows(study.sampler, plain("fitted", 4), 0, 4);
    const { totals, strategies, accounts } = evaluateRows(prepareRows(program, expansion), rows)!;
    const account = program.accounts.findIndex(({ name }) => name === "life_years");
    const entry = program.entries.findIndex((one) => one.account === account);
    for (let k = 0; k < 4; k++)
      for (const [s, [traced]] of runReference(study, rows.slice(k * width, (k + 1) * width)).entries()) {
        const total = traced!.discounted.slice(entry * T, (entry + 1) * T).reduce((sum, x) => sum + x, 0);
        expect(totals[(k * strategies + s) * accounts + account]! / total).toBeCloseTo(1, 12);
      }
  });

  test("stand in the register with the points and the curve", () => {
    const [fit] = register(open().program).fits;
    expect(fit).toMatchObject({ name: "way_back", family: "return to a plateau", spare: 2, given: {} });
    expect(fit!.points[2]).toMatchObject({ years: 1, mean: 0.083, se: 0.005 });
    for (const { mean, se, fitted } of fit!.points) expect(Math.abs(mean - fitted)).toBeLessThan(se);
    expect(fit!.estimates.map(({ parameter, scale }) => [parameter, scale])).toEqual([
      ["start", "natural"],
      ["rate", "log"],
      ["lasting", "logit"],
    ]);
  });
});

test("a parameter that is given is not estimated, and a scale may be chosen", () => {
  const given = course.replace("family:", "given: { lasting: 0.4 }\n      scale: { start: log }\n      family:");
  const text = scenario()
    .replace(course, given)
    .replace("fitted: way_back.lasting", "fixed: 0.4, why: given, source: invented");
  const { program, sampler } = open(text);
  expect(register(program).fits[0]).toMatchObject({ given: { lasting: 0.4 }, spare: 3 });
  const drawing = sampler.laws.drawings[0]!;
  expect(drawing.how === "law" && drawing.law.family).toBe("log-normal");
});

test("points far off the curve are said to be, at every input that takes from it", () => {
  const off = course.replace("mean: 0.071", "mean: 0.11");
  const { warnings } = open(scenario("", off)).sampler.laws;
  expect(warnings.map(({ key }) => key)).toEqual(keys);
  expect(warnings[0]!.text).toMatch(/way_back lie off the curve .* where 2 are expected/);
  expect(open().sampler.laws.warnings).toEqual([]);
});

test("one parameter feeds one input; another takes it by same_as", () => {
  const twice = scenario().replace("b: { same_as: a }", "b: { fitted: way_back.start }");
  expect(findingsOf(model, twice)).toMatchObject([
    { code: "evidence-invalid", hint: "let it be same_as peak[a], which draws it" },
  ]);
});
