import { expect, test } from "vitest";
import {
  capitalised,
  countText,
  effectText,
  exactMoneyText,
  listText,
  moneyText,
  shareText,
  significantText,
  yearsText,
} from "../src/report/format.ts";
import { pairText } from "../src/report/words.ts";
import { openStudy, runStudy } from "../src/study.ts";
import { caseFiles, scenarioPath } from "./case.ts";

const words = { currency: "EUR", effect: "QALY", each: "QALY" };

test.each([
  [moneyText(20316.4), "20,300"],
  [moneyText(0.4), "0"],
  [moneyText(-1234.5), "−1,230"],
  [moneyText(999.6), "1,000"],
  [moneyText(12), "12"],
  [exactMoneyText(-0.3), "0"],
  [exactMoneyText(1234567.8), "1,234,568"],
  [significantText(0.0124999), "0.0125"],
  [significantText(0.5), "0.5"],
  [significantText(1450), "1,450"],
  [significantText(-12.345), "−12.3"],
  [significantText(99.96), "100"],
  [significantText(0), "0"],
  [significantText(2e-7), "0.0000002"],
  [effectText(0.0612), "0.061"],
  [effectText(0.00061), "0.0006"],
  [effectText(-0.2), "−0.200"],
  [shareText(0.004), "under 1%"],
  [shareText(0.996), "over 99%"],
  [shareText(0), "0%"],
  [shareText(1), "100%"],
  [shareText(0.814), "81%"],
  [countText(0.0123), "0.01"],
  [countText(11987.4), "11,987"],
  [yearsText(0.5), "6 months"],
  [yearsText(1), "1 year"],
  [listText(["a", "b", "c"]), "a, b and c"],
  [capitalised("the swallowed balloon"), "The swallowed balloon"],
])("%s reads %s", (found, expected) => {
  expect(found).toBe(expected);
});

test.each([
  [
    { kind: "dominates", deltaCost: -310.2, deltaEffect: 0.0041, ratio: null },
    "saves 310 EUR and yields 0.004 QALY more",
  ],
  [
    { kind: "is dominated", deltaCost: 655, deltaEffect: -0.001, ratio: null },
    "costs 655 EUR more and yields 0.001 QALY less",
  ],
  [
    { kind: "costs more and yields more", deltaCost: 1240, deltaEffect: 0.061, ratio: 20327.9 },
    "costs 1,240 EUR more and yields 0.061 QALY more, 20,300 for each QALY gained",
  ],
  [
    { kind: "costs less and yields less", deltaCost: -500, deltaEffect: -0.01, ratio: 50000 },
    "saves 500 EUR and yields 0.010 QALY less, a saving of 50,000 for each QALY given up",
  ],
  [{ kind: "equal", deltaCost: 0, deltaEffect: 0, ratio: null }, "costs and yields the same"],
] as const)("a pair in words: %j", (pair, expected) => {
  expect(pairText(pair, words)).toBe(expected);
});

function sure(mean: string): string {
  const study = openStudy(
    caseFiles(
      `
      strategies: { old: { label: Old, called: the old way }, new: { label: New, called: the new way, has: [is_new] } }
      inputs: { extra: { is: money }, gain: { is: number, in: year } }
      events: { paying: { at: 0 } }
      accounts:
        cost: { in: money, lines: { extra: { on: paying, amount: "is_new ? extra : 0" } } }
        life_years: { in: year, lines: { alive: { amount: 1 }, gain: { on: paying, amount: "is_new ? gain : 0" } } }
      `,
      `
      settings: { money: { unit: EUR }, horizon: 1 cycle, effect: life_years, thresholds: [1000 EUR/year] }
      inputs:
        extra: { ${mean}, source: constructed }
        gain: { mean: 0.1 years, se: 0.01 years, source: constructed }
      `,
    ),
    scenarioPath,
  );
  return runStudy(study, { draws: 400, seed: "words", design: "quasi" }).answers.sure?.headline ?? "";
}

test("the sentence of certainty names saving and cost, never a negative cost", () => {
  expect(sure("mean: 500 EUR, se: 50 EUR")).toMatch(
    /the new way costs 500 EUR more \(95% interval: 40\d to 59\d\) and yields 0.100 life years more/,
  );
  expect(sure("mean: -500 EUR, se: 50 EUR")).toMatch(/the new way saves 500 EUR \(95% interval: 40\d to 59\d\)/);
  expect(sure("mean: 10 EUR, se: 100 EUR")).toMatch(
    /the new way costs \d+ EUR more \(95% interval: saves 1\d\d to costs 2\d\d\)/,
  );
});

test("where base case and draws choose differently, the answer says so", () => {
  const study = openStudy(
    caseFiles(
      `
      strategies: { old: { label: Old, called: the old way }, new: { label: New, called: the new way, has: [is_new] } }
      inputs: { ratio: { is: ratio } }
      events: { paying: { at: 0 } }
      accounts:
        cost: { in: money, lines: { extra: { on: paying, amount: "is_new ? extra : 0" } } }
        life_years: { in: year, lines: { alive: { amount: 1 } } }
      formulas: { extra: (ratio * ratio - 1.2) * price }
      `.replace("inputs: { ratio: { is: ratio } }", "inputs: { ratio: { is: ratio }, price: { is: money } }"),
      `
      settings: { money: { unit: EUR }, horizon: 1 cycle, effect: life_years, thresholds: [1000 EUR/year] }
      inputs:
        ratio: { mean: 1, se: 0.8, source: constructed }
        price: { fixed: 100 EUR, why: constructed, source: constructed }
      `,
    ),
    scenarioPath,
  );
  // the base case saves 20; the mean of the square is 1.64, so the draws cost 44
  const { worth } = runStudy(study, { draws: 2000, seed: "square", design: "stratified" }).answers;
  expect(worth.basis).toBe("probabilistic");
  expect(worth.base.best["1000"]).toBe("new");
  expect(worth.best["1000"]).toBe("old");
  expect(worth.headline).toContain("The base case alone would choose the new way; the means over draws decide.");
});
