import { expect, test } from "vitest";
import { referee } from "../../src/engine/reference.ts";
import { baseRow } from "../../src/study.ts";
import { findingsOf, runCase } from "../case.ts";

// what an illness costs is known up to 5 years of age; the old, who do not fall ill unless told to, are beyond that
const model = `
    population: { frailty: { is: number }, age: { is: duration } }
    factors: { health: [well, ill] }
    start: { health: well }
    events: { onset: { while: { health: well }, rate: frailty * 1 / year, then: { health: ill } } }
    tables: { care: { by: { age: year }, is: ratio, between: linear } }
    formulas: { age_now: age + time, price: 1000 EUR/year * care(age_now) }
    accounts:
      cost: { in: money, lines: { care: { while: { health: ill }, amount: price } } }
      life_years: { in: year, lines: { alive: { amount: 1 } } }
    `;
const data = (ofTheOld: string): string => `
    population:
      groups:
        young: { share: 50%, frailty: 0.1, age: 0 years }
        younger: { share: 25%, frailty: 0.2, age: 0.5 years }
        old: { share: 25%, frailty: ${ofTheOld}, age: 70 years }
    tables: { care: { points: [[0, 1], [5, 3]], source: invented } }
    `;

test("what nobody of a group meets does no harm to it or to the groups beside it", () => {
  const { study, traced } = runCase(model, data("0"));
  const alone = referee(study.program, study.expansion);
  for (const { index } of study.program.groups)
    expect(traced[0]![index]).toEqual(alone(baseRow(study.program), 0, [index])[0]);
  expect(traced[0]![0]!.raw[3]).toBeGreaterThan(0);
  expect([...traced[0]![2]!.raw.subarray(0, 4)]).toEqual([0, 0, 0, 0]);
});

test("what is wrong in one group is said of that group", () => {
  const found = findingsOf(model, data("0.1"));
  expect(found).toMatchObject([{ code: "table-range" }]);
  expect(findingsOf(model, data("-0.1"))).toMatchObject([
    { code: "rate-negative", message: expect.stringContaining("group old") },
  ]);
});

test("groups side by side have the bits they have alone", () => {
  const { study, traced } = runCase(model.replace("between: linear", "between: linear, beyond: last"), data("0.3"));
  const alone = referee(study.program, study.expansion);
  for (const { index } of study.program.groups)
    expect(traced[0]![index]).toEqual(alone(baseRow(study.program), 0, [index])[0]);
});
