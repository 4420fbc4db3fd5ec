import { expect, test } from "vitest";
import { structureKey } from "../../src/compile/structure-key.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

const model = `
  inputs:
    care: { is: cost, per: year }
    stay: { is: duration }
  factors:
    place: [home, { away: { lasts: stay, then: home } }]
  start: { place: away }
`;

const scenario = (care: string, stay: string, settings = "horizon: 4 years"): string => `
  settings: { money: { unit: EUR }, effect: life_years, ${settings} }
  inputs:
    care: { ${care}, source: invented }
    stay: { fixed: ${stay}, why: test, source: invented }
`;

const keyOf = (text: string): string => {
  const { program, expansion } = openStudy(caseFiles(model, text), scenarioPath);
  return structureKey(program, expansion);
};

test("two programs share a structure only if their inputs' values and laws alone differ", () => {
  const one = keyOf(scenario("mean: 80 EUR/year, se: 8 EUR/year", "1 year"));
  expect(keyOf(scenario("mean: 90 EUR/year, se: 3 EUR/year", "1 year"))).toBe(one);
  expect(keyOf(scenario("fixed: 90 EUR/year, why: test", "12 months"))).toBe(one);
  expect(keyOf(scenario("fixed: 90 EUR/year, why: test", "2 years"))).not.toBe(one);
  expect(keyOf(scenario("mean: 80 EUR/year, se: 8 EUR/year", "1 year", "horizon: 5 years"))).not.toBe(one);
});
