import { expect, test } from "vitest";
import { buildPlan } from "../../src/compile/build-plan.ts";
import type { Plan } from "../../src/compile/plan.ts";
import { planText } from "../../src/compile/plan-text.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

const values = `
      ill: { fixed: 0.1 / year, why: test, source: invented }
      die: { fixed: 0.02 / year, why: test, source: invented }
      care: { fixed: 900 EUR/year, why: test, source: invented }`;

function plan(model: string, scenario = ""): Plan {
  const { program, expansion } = openStudy(
    caseFiles(
      `
      inputs: { ill: { is: rate, per: year }, die: { is: rate, per: year }, care: { is: cost, per: year } }
      ${model}
      `,
      `
      inputs:${values}
      ${scenario}
      `,
    ),
    scenarioPath,
  );
  return buildPlan(program, expansion, 0);
}

test("a plan reads as nodes, tallies, runs of cycles and what each does", () => {
  const text = planText(
    plan(`
      factors: { health: [well, sick] }
      start: { health: well }
      events:
        falling_ill: { while: { health: well }, rate: ill, then: { health: sick } }
        dying: { rate: "health == sick ? 2 * die : die", then: dead }
      accounts:
        cost: { in: money, lines: { care: { while: { health: sick }, amount: "time < 2 years ? care : care / 2" } } }
        life_years: { in: year, lines: { alive: { amount: 1 } } }`),
  );
  expect(text).toMatchInlineSnapshot();
});

test("states that empty and conditions on time cut cycles into runs", () => {
  const { segments, states } = plan(
    `
      factors: { course: [{ inside: { lasts: 3 years, then: after } }, after] }
      start: { course: inside }
      events: { dying: { rate: "time < 5 years ? die : 2 * die", then: dead } }`,
    "settings: { money: { unit: EUR }, horizon: 9 cycles, effect: life_years }",
  );
  expect(states).toBe(4);
  expect(segments.map(({ from, to }) => [from, to])).toEqual([
    [0, 5],
    [5, 9],
  ]);
  expect(segments[1]!.transfer.reads).toEqual([3]);
});

test("an instant in some groups leaves the states of the others as they were", () => {
  const { segments } = plan(
    `
      population: { first: { is: duration } }
      factors: { place: [here, there] }
      start: { place: here }
      events: { going: { at: first, while: { place: here }, then: { place: there } } }`,
    "population: { groups: { soon: { share: 0.5, first: 1 year }, late: { share: 0.5, first: 3 years } } }",
  );
  const steps = segments.flatMap(({ from, instants }) => instants.map(({ firing }) => [from, ...firing]));
  expect(steps).toEqual([
    [1, true, false],
    [3, false, true],
  ]);
  expect(segments[1]!.instants[0]!.transfer.writes).toEqual([0, 1]);
  expect(segments[1]!.instants[0]!.idleClear).toEqual([1]);
});

test("accounts that count the same with the same weight share a tally", () => {
  const { tallies } = plan(`
      events: { dying: { rate: die, then: dead } }
      accounts:
        cost: { in: money, discount: none, lines: { care: { amount: care }, end: { on: dying, amount: 10 EUR } } }
        life_years: { in: year, discount: none, lines: { alive: { amount: 1 } } }
        deaths: { count: dying }`);
  // account 3 stands for undiscounted life years
  expect(tallies.map(({ worth }) => worth.map(({ account }) => account))).toEqual([
    [0, 2],
    [0, 1, 3],
  ]);
});
