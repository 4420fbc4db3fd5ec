import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { cautions } from "../../src/report/cautions.ts";
import { jurisdictionsTable } from "../../src/report/jurisdictions-table.ts";
import { register } from "../../src/report/register.ts";
import { caseTexts } from "../../src/schema/case-texts.ts";
import { jurisdictionsPath, readJurisdictions } from "../../src/schema/jurisdiction.ts";
import { openStudy, type Study } from "../../src/study.ts";
import { caseFiles, findingsOf, scenarioPath } from "../case.ts";

const text = readFileSync(join(import.meta.dirname, "../..", jurisdictionsPath), "utf8");
const model = `
  accounts:
    cost: { in: money, lines: { none: { amount: 0 } } }
    qaly: { in: QALY, lines: { alive: { amount: 1 QALY/year } } }`;
const place = { file: "a.yaml", line: 1, column: 1, path: "" };
const stored = readJurisdictions(caseFiles(model, "", { [jurisdictionsPath]: text }), place).data;

/** A scenario whose settings are these, in a case with the stored jurisdictions. */
function open(settings: string, more: Readonly<Record<string, string>> = {}, head = ""): Study {
  const scenario = `${head}\nsettings: { horizon: 2 cycles, effect: qaly, ${settings} }`;
  return openStudy(caseFiles(model, scenario, { [jurisdictionsPath]: text, ...more }), scenarioPath);
}
const rates = (study: Study) => {
  const { costs, effects } = study.program.analysis.discount;
  return [costs, effects].map((steps) => steps.map(({ afterYears, rate }) => [afterYears, rate]));
};

describe("the stored jurisdictions", () => {
  test("are those of the usual guidelines, each with source, year and marks", () => {
    expect(Object.keys(stored).length).toBeGreaterThan(15);
    for (const [id, one] of Object.entries(stored)) {
      expect(id).toMatch(/^[a-z]+(-[a-z]+)*-\d{4}$/);
      expect(id).toContain(String(one.year));
      expect(one.source).toHaveProperty("cite");
      // a mark is of a part that is there
      for (const part of one.from_memory) expect(one[part], `${id}: ${part}`).toBeDefined();
    }
  });

  test.each(Object.keys(stored))("%s can be named by a scenario in its own money", (id) => {
    const currency = /[A-Z]{3}/.exec(String(stored[id]!.thresholds?.[0] ?? "EUR"))![0];
    const study = open(`jurisdiction: ${id}, money: { unit: ${currency}, price_year: 2025 }`);
    expect(study.program.analysis.thresholds.length).toBe(stored[id]!.thresholds?.length ?? 0);
    expect(study.program.analysis.discount.costs[0]!.rate).toBeGreaterThan(0.01);
    const said = cautions(study.program).join(" ").includes(`stored for ${stored[id]!.label}`);
    expect(said).toBe(stored[id]!.from_memory.length > 0);
  });

  test("make a table with their marks", () => {
    const { header, rows } = jurisdictionsTable(stored);
    const row = rows.find(([id]) => id === "france-2020")!;
    expect(row[header.indexOf("Costs a year")]).toBe("2.5%, from 30 years 1.5%");
    const [thresholds] = rows.flatMap(([id, ...cells]) =>
      id === "spain-2010" ? [cells[header.indexOf("Thresholds") - 1]] : [],
    );
    expect(thresholds).toBe("22000, 30000 EUR/QALY");
    expect(row[header.indexOf("From memory")]).toBe("discount");
  });

  test("can be read through a case's open files and sent in a bundle", () => {
    const files = caseTexts(caseFiles(model, "", { [jurisdictionsPath]: text, "models/other.yaml": "a: 1" }));
    expect(files.read(jurisdictionsPath)).toBe(text);
    expect(files.read("models/other.yaml")).toBeUndefined();
  });
});

describe("a scenario that names a jurisdiction", () => {
  const money = "money: { unit: GBP, price_year: 2025 }";
  test("takes what it does not state, and says so", () => {
    const study = open(`jurisdiction: england-2026, ${money}`);
    expect(rates(study)).toEqual([[[0, 0.035]], [[0, 0.035]]]);
    expect(study.program.analysis.thresholds).toEqual([25000, 35000]);
    expect(register(study.program).jurisdiction).toMatchObject({
      id: "england-2026",
      fills: ["thresholds", "discount"],
      from_memory: ["discount"],
      confidence: "high",
    });
    expect(cautions(study.program)[1]).toBe(
      "The discount rates stored for England (NICE), from April 2026, 2026, are from memory; check them against their source.",
    );
    expect(register(study.program).effective.settings.thresholds).toEqual(["25000 GBP/QALY", "35000 GBP/QALY"]);
  });

  test("keeps what it states", () => {
    const study = open(
      `jurisdiction: england-2026, discount: { effects: 1.5% / year }, thresholds: [20000 GBP/QALY], ${money}`,
    );
    expect(rates(study)).toEqual([[[0, 0.035]], [[0, 0.015]]]);
    expect(study.program.analysis.thresholds).toEqual([20000]);
    expect(register(study.program).jurisdiction!.fills).toEqual(["discount"]);
  });

  test("has no caution where nothing comes from it", () => {
    const all = "discount: { costs: 3% / year, effects: 3% / year }, thresholds: [20000 GBP/QALY]";
    const study = open(`jurisdiction: england-2022, ${all}, ${money}`);
    expect(register(study.program).jurisdiction!.fills).toEqual([]);
    expect(cautions(study.program).join(" ")).not.toContain("from memory");
  });

  test("may have rates that fall with time", () => {
    expect(rates(open("jurisdiction: norway-2021, money: { unit: NOK }"))[0]).toEqual([
      [0, 0.04],
      [40, 0.03],
      [75, 0.02],
    ]);
  });

  test("has its thresholds converted where a rate of its price year is stated", () => {
    const rate = "conversions: { GBP 2025: { to: EUR 2025, by: exchange rate, factor: 1.2, source: invented } }";
    const study = open(`jurisdiction: england-2026, money: { unit: EUR, price_year: 2025, ${rate} }`);
    expect(study.program.analysis.thresholds).toEqual([30000, 42000]);
  });
});

describe("a variant that names a jurisdiction", () => {
  const base = (settings: string): Readonly<Record<string, string>> => ({
    "scenarios/base.scenario.yaml": `scenario: base\nmodel: test\nsettings: { horizon: 2 cycles, effect: qaly, ${settings} }\n`,
  });
  const head = "extends: ./base.scenario.yaml";
  const own =
    "money: { unit: EUR }, discount: { costs: 3% / year, effects: 3% / year, timing: whole years }, thresholds: [20000 EUR/QALY]";

  test("takes its rates and thresholds over those that its base states", () => {
    const study = open("jurisdiction: netherlands-2024", base(own), head);
    expect(rates(study)).toEqual([[[0, 0.03]], [[0, 0.015]]]);
    expect(study.program.analysis.thresholds).toEqual([20000, 50000, 80000]);
    expect(study.program.analysis.discount.wholeYears).toBe(true);
  });

  test("keeps its base's thresholds where the jurisdiction has none", () => {
    expect(open("jurisdiction: france-2020", base(own), head).program.analysis.thresholds).toEqual([20000]);
  });

  test("changes what a base took from another jurisdiction, none of which is left", () => {
    const study = open("jurisdiction: france-2020", base("jurisdiction: ireland-2020, money: { unit: EUR }"), head);
    expect(study.program.analysis.thresholds).toEqual([]);
    expect(rates(study)[0]![0]).toEqual([0, 0.025]);
  });

  test("may state what its base's jurisdiction would fill", () => {
    const study = open("thresholds: [1000 EUR/QALY]", base("jurisdiction: ireland-2020, money: { unit: EUR }"), head);
    expect(study.program.analysis.thresholds).toEqual([1000]);
    expect(rates(study)[0]).toEqual([[0, 0.04]]);
  });
});

test("a threshold of another money, and one that fits no effect, are named where the jurisdiction stands", () => {
  const files = { [jurisdictionsPath]: text };
  const settings = (effect: string): string =>
    `settings:\n  horizon: 2 cycles\n  effect: ${effect}\n  money: { unit: GBP, price_year: 2025 }\n  jurisdiction: ireland-2020\n`;
  expect(findingsOf(model, settings("qaly"), files)).toMatchObject([
    { code: "conversion-missing", line: 5, path: "settings.thresholds[0]" },
    { code: "conversion-missing", line: 5, path: "settings.thresholds[1]" },
  ]);
});
