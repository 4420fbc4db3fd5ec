import { expect, test } from "vitest";
import { caseHash } from "../../src/report/result.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, fixed, scenarioPath } from "../case.ts";

const model = `
  inputs: { wage: { is: cost, per: year } }
  tables: { norm: { by: { age: year }, is: number, beyond: last } }
  accounts:
    cost: { in: money, lines: { wage: { amount: wage } } }
    life_years: { in: year, lines: { alive: { amount: norm(time) } } }`;
const base = `scenario: base
model: test
settings: { money: { unit: EUR }, horizon: 4 cycles, effect: life_years }
tables: { norm: { points: [[0 years, 1]], source: invented } }
${fixed({ wage: "2 EUR/year" })}
`;

/** The hash of a scenario that extends the base below another spelling of its path. */
function hashOf(scenario: string, more: Readonly<Record<string, string>> = {}): string {
  const files = caseFiles(model, scenario, { "scenarios/base.scenario.yaml": base, ...more });
  return caseHash(openStudy(files, scenarioPath).program);
}

const same = "scenario: test\nmodel: test\nsettings: { horizon: 4 cycles }\n";

test("the hash of a case does not depend on how the path of its base is spelt", () => {
  const spellings = [
    "./base.scenario.yaml",
    "base.scenario.yaml",
    "../scenarios/base.scenario.yaml",
    ".//base.scenario.yaml",
  ];
  expect(new Set(spellings.map((path) => hashOf(`${same}extends: ${path}`))).size).toBe(1);
});

test("the hash depends on what the base holds", () => {
  const dearer = { "scenarios/base.scenario.yaml": base.replace("2 EUR", "3 EUR") };
  const path = `${same}extends: ./base.scenario.yaml`;
  expect(hashOf(path, dearer)).not.toBe(hashOf(path));
});

test("the hash depends on the rows of a table and of a file of draws, not on the path of a table", () => {
  const text = (path: string, draws: string): string =>
    `${same}extends: ./base.scenario.yaml\ntables: { norm: { file: ${path}, source: invented } }\ninputs: { wage: { draws: ${draws}, in: EUR/year, source: invented } }`;
  const rows = (value: number): string => `wage\n1\n${value}\n`;
  const files = {
    "models/tables/norm.csv": "age,value\n0,1\n",
    "scenarios/a.csv": rows(2),
    "scenarios/b.csv": rows(3),
  };
  const first = hashOf(text("norm.csv", "a.csv"), files);
  expect(hashOf(text("../models/tables/norm.csv", "a.csv"), files)).toBe(first);
  expect(hashOf(text("norm.csv", "a.csv"), { ...files, "models/tables/norm.csv": "age,value\n0,0.5\n" })).not.toBe(
    first,
  );
  expect(hashOf(text("norm.csv", "a.csv"), { ...files, "scenarios/a.csv": rows(3) })).not.toBe(first);
});
