import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { KeptTraces } from "../../src/engine/kept-traces.ts";
import { baseRow, openStudy, runReference } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

const model = `
  strategies:
    usual: { label: Usual care }
    new: { label: New pathway, has: [new] }
  inputs:
    price: { is: cost, of: piece }
    care: { is: cost, per: year, by: strategy }
    low: { is: rate, per: year }
    high: { is: rate, per: year }
    route: { is: choice, of: [left, right] }
  factors:
    illness: [well, ill]
  start: { illness: well }
  resources:
    device: { in: piece, price: price, borne_by: payer, line: device }
  events:
    fitting: { at: 0, strategies: [new], uses: { device: 1 } }
    falling_ill: { while: { illness: well }, rate: "route == left ? low : high", then: { illness: ill } }
  accounts:
    cost: { in: money, resources: all, lines: { care: { while: { illness: ill }, amount: care } } }
    life_years: { in: year, lines: { alive: { amount: 1 } } }
`;

const scenario = `
  inputs:
    price: { fixed: 900 EUR, why: test, source: invented }
    care: { by: { usual: { fixed: 300 EUR/year }, new: { fixed: 100 EUR/year } }, why: test, source: invented }
    low: { fixed: 0.1 / year, why: test, source: invented }
    high: { fixed: 0.3 / year, why: test, source: invented }
    route: { chosen: { left: 0.7, right: 0.3 }, why: test, source: invented }
`;

describe("traces kept from row to row", () => {
  const study = openStudy(caseFiles(model, scenario), scenarioPath);
  const { components } = study.program;
  const at = (key: string): number => components.findIndex((component) => component.key === key);
  const changed = (changes: Readonly<Record<string, number>>): Float64Array => {
    const row = baseRow(study.program);
    for (const [key, value] of Object.entries(changes)) row[at(key)] = value;
    return row;
  };

  test("are those of a fresh evaluation, to the bit, whatever changes from row to row", () => {
    const kept = new KeptTraces();
    const value = fc.constantFrom(0.1, 0.2, 0.4);
    const step = fc.record({ price: value, "care[usual]": value, low: value, high: value, route: fc.nat(1) });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 6 }), (steps) => {
        for (const changes of steps) {
          const row = changed(changes);
          expect(runReference(study, row, { kept })).toEqual(runReference(study, row));
        }
      }),
      { numRuns: 40 },
    );
  });

  test("are made again only for those who read what changed", () => {
    const kept = new KeptTraces();
    const first = runReference(study, changed({}), { kept });
    const again = (changes: Readonly<Record<string, number>>): readonly boolean[] =>
      runReference(study, changed(changes), { kept }).map((groups, s) => groups[0] !== first[s]![0]);
    expect(again({})).toEqual([false, false]);
    expect(again({ price: 800 })).toEqual([false, true]);
    // nobody is on the right, so nobody reads its rate
    expect(again({ price: 900, high: 0.5 })[0]).toBe(false);
    expect(again({ low: 0.2 })).toEqual([true, true]);
  });
});
