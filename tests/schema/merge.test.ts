import { describe, expect, test } from "vitest";
import { findingsOf, runCase } from "../case.ts";

// What a variant changes, and what it keeps of its base.

const model = `
  strategies: { a: { label: A }, b: { label: B } }
  inputs:
    one: { is: cost, per: year }
    two: { is: cost, per: year, by: strategy }
    three: { is: share, over: [x, y] }
    four: { is: utility, over: [x, y] }
`;
const base = `
scenario: base
model: test
settings:
  money: { unit: EUR, price_year: 2024 }
  compare: [a, b]
  horizon: 4 years
  effect: life_years
  discount: { costs: 3% / year, effects: 2% / year }
  thresholds: [10 EUR/year, 20 EUR/year]
inputs:
  one: { estimate: 10, interval: [5, 20], level: 95%, in: EUR/year, source: base }
  two:
    by: { a: { mean: 100, se: 10 }, b: { mean: 200, se: 20 } }
    in: EUR/year
    source: base
  three: { observed: { counts: { x: 3, y: 7 } }, prior: none, source: base }
  four: { each: { x: { mean: 0.5, se: 0.1 }, y: { mean: 0.7, se: 0.1 } }, source: base }
`;
const files = { "scenarios/base.scenario.yaml": base.trimStart() };
// an empty `settings` keeps the base's, instead of those that a test's case is given
const variant = (text: string) =>
  runCase(model, `extends: ./base.scenario.yaml\n${text}${text.includes("settings:") ? "" : "\nsettings: {}"}`, files);
const bases = (text: string) =>
  Object.fromEntries(variant(text).study.program.components.map(({ key, base }) => [key, base]));
const sources = (text: string) =>
  Object.fromEntries(variant(text).study.program.components.map(({ key, source }) => [key, source]));

describe("a variant", () => {
  test("that says nothing is its base", () => {
    expect(bases("")).toEqual({
      one: 10,
      "two[a]": 100,
      "two[b]": 200,
      "three[x]": 0.3,
      "three[y]": 0.7,
      "four[x]": 0.5,
      "four[y]": 0.7,
    });
  });

  test("replaces the entry of an input whole, so that evidence never mixes", () => {
    const { study } = variant("inputs: { one: { fixed: 30 EUR/month, why: offer, source: letter } }");
    const [one] = study.program.components;
    expect(one).toMatchObject({ base: 360, reported: { form: "fixed" }, why: "offer", source: "letter", options: {} });
  });

  test("replaces the value of one strategy and keeps the other's, with its unit and source", () => {
    const text = "inputs: { two: { by: { a: { fixed: 5, why: offer } }, in: EUR/month, source: letter } }";
    expect(bases(text)).toMatchObject({ "two[a]": 60, "two[b]": 200 });
    expect(sources(text)).toMatchObject({ "two[a]": "letter", "two[b]": "base" });
  });

  test("replaces one cell and keeps the others", () => {
    const text = "inputs: { four: { each: { y: { mean: 0.9, se: 0.01, source: letter } } } }";
    expect(bases(text)).toMatchObject({ "four[x]": 0.5, "four[y]": 0.9 });
    expect(sources(text)).toMatchObject({ "four[x]": "base", "four[y]": "letter" });
  });

  test("does not lend its base's source to a value of its own", () => {
    const own = "extends: ./base.scenario.yaml\ninputs: { two: { by: { a: { fixed: 5 EUR/year, why: offer } } } }";
    expect(findingsOf(model, own, files)).toMatchObject([
      { code: "source-missing", file: "scenarios/test.scenario.yaml", path: "inputs.two.by.a" },
    ]);
  });

  test("replaces whole what is given in another shape", () => {
    const text = "inputs: { two: { fixed: 7 EUR/year, why: same for both, source: letter } }";
    expect(bases(text)).toMatchObject({ "two[a]": 7, "two[b]": 7 });
  });

  test("replaces lists whole", () => {
    const { analysis } = variant("settings:\n  compare: [b]\n  thresholds: [5 EUR/year]").study.program;
    expect(analysis.thresholds).toEqual([5]);
    expect(analysis.compare).toEqual([1]);
  });

  test("changes one setting, one discount rate or the price year alone", () => {
    const { analysis } = variant(
      "settings:\n  discount: { effects: 0% / year }\n  money: { price_year: 2026 }\n  horizon: 2 years",
    ).study.program;
    expect(analysis.discount.costs).toEqual([{ afterYears: 0, rate: 0.03 }]);
    expect(analysis.discount.effects).toEqual([{ afterYears: 0, rate: 0 }]);
    expect(analysis).toMatchObject({ currency: "EUR", priceYear: 2026, horizonYears: 2 });
  });

  test("keeps the order of its base, then adds what is new", () => {
    const { scenario } = variant(
      "inputs: { four: { fixed: { x: 1, y: 1 }, why: test, source: x } }\nexpect: { ok: one > 0 EUR/year }",
    ).study.program;
    expect(Object.keys(scenario.data.inputs ?? {})).toEqual(["one", "two", "three", "four"]);
    expect(Object.keys(scenario.data).at(-1)).toBe("expect");
  });

  test("may extend another variant", () => {
    const between =
      "extends: ./base.scenario.yaml\ninputs: { one: { fixed: 1 EUR/year, why: test, source: between } }\n";
    const { study } = runCase(
      model,
      "extends: ./between.scenario.yaml\nsettings: {}\ninputs: { four: { fixed: { x: 1, y: 1 }, why: test, source: own } }",
      { ...files, "scenarios/between.scenario.yaml": between },
    );
    const found = Object.fromEntries(study.program.components.map(({ key, source }) => [key, source]));
    expect(found).toMatchObject({ one: "between", "two[a]": "base", "four[x]": "own" });
  });

  test("names the file of a mistake, be it its own or its base's", () => {
    const broken = { "scenarios/base.scenario.yaml": base.trimStart().replace("[5, 20]", "[5, 2]") };
    const own = "extends: ./base.scenario.yaml\ninputs: { four: { fixed: { x: 2, y: 1 }, why: test, source: x } }";
    expect(findingsOf(model, own, broken)).toMatchObject([
      {
        code: "evidence-invalid",
        file: "scenarios/base.scenario.yaml",
        line: 11,
        column: 34,
        path: "inputs.one.interval",
      },
      { code: "out-of-range", file: "scenarios/test.scenario.yaml", line: 2, column: 31, path: "inputs.four.fixed.x" },
    ]);
  });

  test("finds the files of its base beside its base", () => {
    const elsewhere = {
      "scenarios/common/base.scenario.yaml": `${base.trimStart()}tables: { t: { file: t.csv, source: base } }\n`,
      "scenarios/common/t.csv": "age,value\n0,1\n",
    };
    const { study } = runCase(
      `${model}\n  tables: { t: { by: { age: year }, is: number, beyond: last } }`,
      "extends: ./common/base.scenario.yaml\nsettings: {}",
      elsewhere,
    );
    expect([...study.program.tables[0]!.y[0]!]).toEqual([1]);
  });
});
