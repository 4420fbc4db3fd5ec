import { expect, test } from "vitest";
import { buildPlan } from "../../src/compile/build-plan.ts";
import type { Plan } from "../../src/compile/plan.ts";
import { planText } from "../../src/compile/plan-text.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, fixed, scenarioPath } from "../case.ts";

const values = fixed({ ill: "0.1 / year", die: "0.02 / year", care: "900 EUR/year" });

function plan(model: string, scenario = ""): Plan {
  const { program, expansion } = openStudy(
    caseFiles(
      `inputs: { ill: { is: rate, per: year }, die: { is: rate, per: year }, care: { is: cost, per: year } }\n${model}`,
      `${values}\n${scenario}`,
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
  expect(text).toMatchInlineSnapshot(`
    "4 = constant 1
    5 = component 0 [d]
    6 = guard rate 5 [d]
    7 = component 1 [d]
    8 = guard rate 7 [d]
    9 = add 6 8 [d]
    10 = negate 9 [d]
    11 = expm1 10 [d]
    12 = constant -2.2250738585072014e-308
    13 = min 10 12 [d]
    14 = divide 11 13 [d]
    15 = multiply 6 14 [d]
    17 = add 4 11 [d]
    18 = constant 2
    19 = multiply 7 18 [d]
    20 = guard rate 19 [d]
    21 = negate 20 [d]
    22 = expm1 21 [d]
    24 = add 4 22 [d]
    26 = component 2 [d]
    27 = divide 26 18 [d]
    32 = guard finite 26 [d]
    33 = guard finite 27 [d]
    w0 = discount of none at middle * 0.5
    tally 0 weighted w0: account 1 by 4, account 2 by 4
    tally 1 weighted w0: account 0 by 32
    tally 2 weighted w0: account 0 by 33
    start: x0 = 4
    cycles 0 to 1: empty 1, transfer 0
    cycles 2 to 3: transfer 1
    transfer 0:
      y0 = 17 * x0
      y1 = 15 * x0 + 24 * x1
      tally 0 += 4 * (x{0 1} + y{0 1})
      tally 1 += 4 * (x1 + y1)
      checks 6 8 20 32
    transfer 1:
      y0 = 17 * x0
      y1 = 15 * x0 + 24 * x1
      tally 0 += 4 * (x{0 1} + y{0 1})
      tally 2 += 4 * (x1 + y1)
      checks 6 8 20 33"
  `);
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
