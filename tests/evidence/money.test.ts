import { describe, expect, test } from "vitest";
import { inputsTable } from "../../src/report/inputs-table.ts";
import { register } from "../../src/report/register.ts";
import { editorSchema } from "../../src/schema/editor-schema.ts";
import { openStudy, type Study } from "../../src/study.ts";
import { caseFiles, findingsOf, scenarioPath } from "../case.ts";

const model = `
  inputs: { care: { is: cost, per: year }, worth: { is: number, in: QALY/EUR } }
  tables: { tariff: { by: { age: year }, is: cost, per: year, beyond: last } }
  accounts:
    cost: { in: money, lines: { care: { amount: care + tariff(time) } } }
    qaly: { in: QALY, lines: { worth: { amount: "worth * care" } } }`;

const conversions = `
    conversions:
      USD 2019: { to: USD 2023, by: invented medical prices, values: [500, 550], source: invented }
      USD 2023: { to: EUR 2023, by: purchasing power, factor: 0.7, source: invented }
      EUR 2023: { to: EUR 2025, by: invented prices, factor: 1.05, source: invented }
      GBP 2025: { to: EUR 2025, by: exchange rate, factor: 1.2, source: invented }`;

const scenario = (care: string, tariff = "points: [[0 years, 10 EUR/year]]"): string => `
  settings:
    horizon: 2 cycles
    effect: qaly
    thresholds: [20000 GBP/QALY]
    money:
      unit: EUR
      price_year: 2025
${conversions.slice(1).replace(/^/gm, "  ")}
  inputs:
    care: { ${care}, source: invented }
    worth: { fixed: 0, why: by construction, source: invented }
  tables: { tariff: { ${tariff}, source: invented } }`;

const open = (care: string, tariff?: string, more?: Readonly<Record<string, string>>): Study =>
  openStudy(caseFiles(model, scenario(care, tariff), more), scenarioPath);

// 550/500 of the index, 0.7 of purchasing power, 1.05 to 2025: the product by hand
const whole = 1.1 * 0.7 * 1.05;

describe("an amount in other money", () => {
  test.each([
    ["its own unit", "fixed: 253 USD/year, price_year: 2019, why: test", 253 * whole],
    ["the entry's unit", "fixed: 253, in: USD/year, price_year: 2019, why: test", 253 * whole],
    ["another period", "fixed: 12 USD/month, price_year: 2023, why: test", 144 * 0.7 * 1.05],
    ["the scenario's currency of another year", "fixed: 100 EUR/year, price_year: 2023, why: test", 105],
    ["the scenario's own money", "fixed: 100 EUR/year, price_year: 2025, why: test", 100],
  ])("is converted where it has %s", (_, care, expected) => {
    const { base, money } = open(care).program.components[0]!;
    expect(base).toBeCloseTo(expected, 11);
    expect(money === null).toBe(expected === 100);
  });

  test("has its whole distribution converted", () => {
    const there = open("mean: 253, se: 46, in: USD/year, price_year: 2019").sampler.laws.drawings[0]!;
    const here = open(`mean: ${253 * whole}, se: ${46 * whole}, in: EUR/year`).sampler.laws.drawings[0]!;
    if (there.how !== "law" || here.how !== "law") throw new Error("no law");
    expect(there.law.family).toBe("gamma");
    for (const p of [0.025, 0.5, 0.975]) expect(there.law.quantile(p) / here.law.quantile(p)).toBeCloseTo(1, 12);
  });

  test("is read from an interval and cut by a range in that money", () => {
    const { drawings } = open("estimate: 253, interval: [167, 347], range: [100, 600], in: USD/year, price_year: 2019")
      .sampler.laws;
    if (drawings[0]!.how !== "law") throw new Error("no law");
    expect(drawings[0]!.law.quantile(1 - 1e-16)).toBeLessThanOrEqual(600 * whole);
    expect(drawings[0]!.law.quantile(0.5) / (253 * whole)).toBeCloseTo(1, 3);
  });

  test("is read from rows of joint draws", () => {
    const rows = { "scenarios/rows.csv": "care\n100\n200\n" };
    const study = open("draws: rows.csv, in: USD/year, price_year: 2023", undefined, rows);
    expect(study.program.components[0]!.base).toBeCloseTo(150 * 0.7 * 1.05, 12);
  });

  test("keeps what was reported, each step and the result in the register and the table of inputs", () => {
    const { program, sampler } = open("fixed: 253 USD/year, price_year: 2019, why: test");
    const [care] = register(program).inputs;
    expect(care!.components[0]!.money).toMatchObject({ reported: 253, from: "USD 2019", to: "EUR 2025" });
    expect(care!.components[0]!.money!.steps.map(({ from, to, by }) => [from, to, by])).toEqual([
      ["USD 2019", "USD 2023", "invented medical prices"],
      ["USD 2023", "EUR 2023", "purchasing power"],
      ["EUR 2023", "EUR 2025", "invented prices"],
    ]);
    const { header, rows } = inputsTable(program, sampler.laws);
    expect(header).toContain("As reported");
    expect(rows[0]).toContain("253 USD 2019 x 0.8085");
  });
});

describe("a table in other money", () => {
  test.each([
    ["points", "points: [[0 years, 10 USD/year]], price_year: 2019", {}],
    ["points in a unit", "points: [[0 years, 10]], in: USD/year, price_year: 2019", {}],
    ["a file", "file: t.csv, in: USD/year, price_year: 2019", { "scenarios/t.csv": "age,value\n0,10\n" }],
  ])("is converted from %s", (_, tariff, more) => {
    const [table] = open("fixed: 1 EUR/year, why: test", tariff, more).program.tables;
    expect(table!.y[0]![0]).toBeCloseTo(10 * whole, 12);
    expect(table!.money).toMatchObject({ from: "USD 2019", to: "EUR 2025" });
  });

  test("of a file without a unit is in the scenario's money", () => {
    const files = { "scenarios/t.csv": "age,value\n0,10\n" };
    const [table] = open("fixed: 1 EUR/year, why: test", "file: t.csv", files).program.tables;
    expect([table!.y[0]![0], table!.money]).toEqual([10, null]);
  });
});

test("a threshold in another currency is converted at the scenario's price year, without an index", () => {
  expect(open("fixed: 1 EUR/year, why: test").program.analysis.thresholds[0]).toBeCloseTo(24000, 9);
});

test("a variant replaces one conversion whole and keeps the others", () => {
  const base = scenario("fixed: 100 USD/year, price_year: 2023, why: test").replace(/^ {2}/gm, "");
  const variant = `scenario: test
model: test
extends: ./base.scenario.yaml
settings: { money: { conversions: { USD 2023: { to: EUR 2023, by: exchange rate, values: [1, 0.9], source: invented } } } }`;
  const files = { "scenarios/base.scenario.yaml": `scenario: base\nmodel: test\n${base}` };
  const study = openStudy(caseFiles(model, variant, files), scenarioPath);
  expect(study.program.components[0]!.base).toBeCloseTo(100 * 0.9 * 1.05, 12);
});

test("a money without a way onwards is named where the steps end", () => {
  const [found] = findingsOf(model, scenario("fixed: 1 USD/year, price_year: 2018, why: test"));
  expect(found).toMatchObject({ code: "conversion-missing", path: "inputs.care.fixed" });
  expect(found!.hint).toContain("USD 2018: { to: USD 2025");
});

test("editors know the keys", () => {
  const text = JSON.stringify(editorSchema("scenario"));
  for (const key of ["price_year", "conversions", "factor", "values"]) expect(text).toContain(`"${key}"`);
});
