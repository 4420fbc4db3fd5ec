import { describe, expect, test } from "vitest";
import { oneWayBars, oneWayHeadline, oneWayTable } from "../../src/report/one-way-bars.ts";
import { oneWaySteps, openStudy, runBase } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

const model = `
  strategies:
    usual: { label: Usual care, called: usual care }
    new: { label: New pathway, called: the new pathway, has: [new] }
  inputs:
    price: { is: cost, of: piece, label: Price }
    care: { is: cost, per: year, by: strategy, label: Care }
    quality: { is: utility, by: strategy, label: Quality }
    route: { is: choice, of: [left, right], label: Route }
  resources:
    device: { in: piece, price: price, borne_by: payer, line: device }
  events:
    fitting: { at: 0, strategies: [new], uses: { device: 1 } }
  accounts:
    cost: { in: money, resources: all, lines: { care: { amount: "route == left ? care : 2 * care" } } }
    qaly: { in: QALY, lines: { all: { amount: quality } } }
`;

const scenario = `
  settings: { money: { unit: EUR }, effect: qaly, reference: usual, horizon: 1 year, thresholds: [20000 EUR/QALY] }
  inputs:
    price: { mean: 900 EUR, se: 90 EUR, distribution: normal, source: invented }
    care: { by: { usual: { fixed: 300 EUR/year }, new: { fixed: 100 EUR/year } }, why: test, source: invented }
    quality: { by: { usual: { mean: 0.7, se: 0.01 }, new: { fixed: 0.75, why: test } }, source: invented }
    route: { chosen: { left: 0.7, right: 0.3 }, why: test, source: invented }
`;

/** The steps of a generator to its end. */
function last<T>(steps: Generator<unknown, T>): T {
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

describe("what each uncertain input does by itself", () => {
  const study = openStudy(caseFiles(model, scenario), scenarioPath);
  const answer = last(oneWaySteps(study));
  const { base, bars } = oneWayBars(answer, "new", 20000);

  test("starts from the base case", () => {
    const { worth } = runBase(study).answers;
    expect(answer.reference).toBe("usual");
    expect(answer.base["new"]!.deltaCost).toBeCloseTo(worth.pairs[0]!.deltaCost, 9);
    expect(answer.base["new"]!.deltaEffect).toBeCloseTo(worth.pairs[0]!.deltaEffect, 12);
    // by hand: 20,000 x (0.75 - 0.70) - (900 + 100 - 300), no discounting
    expect(base).toBeCloseTo(20000 * 0.05 - 700, 6);
  });

  test("is the net benefit at both ends, the longest bar first", () => {
    expect(bars.map(({ key }) => key)).toEqual(["quality[usual]", "price", "route"]);
    // by hand: a price d higher costs d more, once; 1.96 standard errors of 90 are 176.4
    const price = bars[1]!;
    expect(price.low.netBenefit).toBeCloseTo(base - 176.3967586, 6);
    expect(price.high.netBenefit).toBeCloseTo(base + 176.3967586, 6);
    expect([price.low.text, price.high.text]).toEqual(["1,080 EUR/piece", "724 EUR/piece"]);
    // by hand: on the right, care costs twice as much: 200 less for the new pathway instead of 400
    expect(bars[2]).toMatchObject({ low: { text: "left" }, high: { text: "right" } });
    expect(bars[2]!.high.netBenefit - bars[2]!.low.netBenefit).toBeCloseTo(200, 6);
  });

  test("reads as a sentence that says how many could turn the answer, and as a table of the same numbers", () => {
    expect(oneWayHeadline({ base, bars }, "EUR", "the new pathway")).toMatch(
      /^Usual care: quality moves the net benefit of the new pathway most: from −\d+ EUR at 0\.7\d+ to \d+ EUR at 0\.6\d+, where base values give 300 EUR\. Within its 95% interval, 1 input of 3 could turn the answer by itself\.$/,
    );
    expect(oneWayTable({ base, bars }).rows[1]).toEqual([
      "Price",
      "124",
      "1,080 EUR/piece",
      "476",
      "724 EUR/piece",
      "353",
    ]);
  });
});
