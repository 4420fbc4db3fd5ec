import { describe, expect, test } from "vitest";
import { familyOf } from "../../src/evidence/family.ts";
import { Kind } from "../../src/schema/model.ts";
import { findingsOf, runCase } from "../case.ts";
import { expectClose } from "../close.ts";

// The base value of each form of evidence, from the table of the language. Numbers worked out by hand.

const components = (declared: string, evidence: string, more: Readonly<Record<string, string>> = {}) =>
  runCase(
    `strategies: { a: { label: A }, b: { label: B } }\ninputs: { x: { ${declared} }, other: { is: share } }`,
    `inputs:\n  x: ${evidence}\n  other: { fixed: 0.25, why: test, source: invented }`,
    more,
  ).study.program.components.filter(({ key }) => key !== "other");
const base = (declared: string, evidence: string, more: Readonly<Record<string, string>> = {}): readonly number[] =>
  components(declared, evidence, more).map((component) => component.base);
const codes = (declared: string, evidence: string) =>
  findingsOf(`inputs: { x: { ${declared} } }`, `inputs: { x: ${evidence} }`).map(({ code }) => code);

const share = "is: share";
const yearly = "is: probability, per: year";
const rate = "is: rate, per: year";
const cost = "is: cost, per: year";

describe("the base value", () => {
  test.each<readonly [what: string, declared: string, evidence: string, values: readonly number[]]>([
    ["of a fixed value is itself", share, "{ fixed: 0.3, why: w, source: s }", [0.3]],
    ["of a fixed fraction", share, "{ fixed: 1/3, why: w, source: s }", [1 / 3]],
    ["of a fixed percentage", share, "{ fixed: 30%, why: w, source: s }", [0.3]],
    ["of fixed cells", "is: share, over: [k, l]", "{ fixed: { k: 0.4, l: 0.6 }, why: w, source: s }", [0.4, 0.6]],
    ["of events is their share", share, "{ observed: { events: 3, of: 40 }, source: s }", [3 / 40]],
    ["of no events is the posterior mean", share, "{ observed: { events: 0, of: 30 }, source: s }", [0.5 / 31]],
    ["of only events is the posterior mean", share, "{ observed: { events: 30, of: 30 }, source: s }", [30.5 / 31]],
    [
      "of no events with a prior of its own",
      share,
      "{ observed: { events: 0, of: 30 }, prior: { a: 1, b: 3 }, source: s }",
      [1 / 34],
    ],
    [
      "of no events with a prior of one number",
      share,
      "{ observed: { events: 0, of: 30 }, prior: 1, source: s }",
      [1 / 32],
    ],
    ["of events keeps off the prior", share, "{ observed: { events: 3, of: 40 }, prior: 1, source: s }", [3 / 40]],
    [
      "of events over person-time is the rate",
      rate,
      "{ observed: { events: 12, person_time: 800 years }, source: s }",
      [0.015],
    ],
    [
      "of events over person-months is the yearly rate",
      rate,
      "{ observed: { events: 12, person_time: 960 months }, source: s }",
      [0.15],
    ],
    [
      "of no events over person-time is the posterior mean",
      rate,
      "{ observed: { events: 0, person_time: 800 years }, source: s }",
      [0.5 / 800],
    ],
    [
      "of counts are their shares",
      "is: share, over: [k, l, m]",
      "{ observed: { counts: { k: 3, l: 7, m: 10 } }, source: s }",
      [0.15, 0.35, 0.5],
    ],
    [
      "of a count not listed is 0",
      "is: share, over: [k, l, m]",
      "{ observed: { counts: { k: 3, l: 7 } }, source: s }",
      [0.3, 0.7, 0],
    ],
    [
      "of an observed mean is the mean",
      cost,
      "{ observed: { mean: 300 EUR/year, sd: 90 EUR/year, n: 9 }, source: s }",
      [300],
    ],
    ["of a mean is the mean", "is: utility", "{ mean: 0.7, se: 0.1, source: s }", [0.7]],
    ["of a negative utility is the mean", "is: utility", "{ mean: -0.1, se: 0.1, source: s }", [-0.1]],
    [
      "of an estimate is the estimate",
      "is: hazard_ratio",
      "{ estimate: 0.5, interval: [0.36, 0.71], source: s }",
      [0.5],
    ],
    [
      "of an estimate that is a mean is the estimate",
      "is: hazard_ratio",
      "{ estimate: 0.5, interval: [0.36, 0.71], center: mean, source: s }",
      [0.5],
    ],
    [
      "of a choice is the weightiest",
      "is: choice, of: [short, long]",
      "{ chosen: { short: 0.3, long: 0.7 }, source: s }",
      [1],
    ],
    ["of a fixed choice is the choice", "is: choice, of: [short, long]", "{ fixed: long, why: w, source: s }", [1]],
    [
      "of choices of one weight is the first",
      "is: choice, of: [short, long]",
      "{ chosen: { short: 0.5, long: 0.5 }, source: s }",
      [0],
    ],
    ["of the same as another is the other's", share, "{ same_as: other, source: s }", [0.25]],
    ["in the unit named once", cost, "{ fixed: 10, in: EUR/month, why: w, source: s }", [120]],
    [
      "in a unit of its own beside one named once",
      cost,
      "{ fixed: 10 EUR/year, in: EUR/month, why: w, source: s }",
      [10],
    ],
    ["of a duration", "is: duration", "{ mean: 5 months, se: 1 month, source: s }", [5 / 12]],
    [
      "of one entry for all strategies is the same for each",
      "is: share, by: strategy",
      "{ fixed: 0.3, why: w, source: s }",
      [0.3, 0.3],
    ],
    [
      "by strategy",
      "is: share, by: strategy",
      "{ by: { a: { fixed: 0.3, why: w }, b: { observed: { events: 1, of: 4 } } }, source: s }",
      [0.3, 0.25],
    ],
    [
      "by cell",
      "is: utility, over: [k, l]",
      "{ each: { k: { mean: 0.3, se: 0.1 }, l: { fixed: 1, why: w } }, source: s }",
      [0.3, 1],
    ],
    [
      "by strategy and cell",
      "is: utility, by: strategy, over: [k, l]",
      "{ by: { a: { fixed: { k: 1, l: 0.5 }, why: w }, b: { each: { k: { same_as: x.a.k }, l: { fixed: 0, why: w } } } }, source: s }",
      [1, 0.5, 1, 0],
    ],
  ])("%s (%s)", (_, declared, evidence, values) => {
    expectClose(base(declared, evidence), values);
  });

  test("of quantiles is the fitted median", () => {
    // exact where two quantiles lie symmetrically on the scale of the kind: logarithms of 2 and 8, of which 4 is the middle
    expectClose(base("is: hazard_ratio", "{ quantiles: { 5%: 2, 95%: 8 }, source: s }"), [4], 1e-12);
    expectClose(base("is: number", "{ quantiles: { 25%: 2, 75%: 8 }, source: s }"), [5], 1e-12);
    expectClose(base(share, "{ quantiles: { 10%: 0.2, 90%: 0.8 }, source: s }"), [0.5], 1e-12);
  });

  test("of joint draws is the mean of their rows, by the column named or the input's", () => {
    const file = { "scenarios/trial.csv": "x,x.k,x.l,y\n0.1,1,2,0.5\n0.3,3,6,0.7\n" };
    expectClose(base(share, "{ draws: trial.csv, source: s }", file), [0.2]);
    expectClose(base(share, "{ draws: trial.csv, column: y, source: s }", file), [0.6]);
    expectClose(base("is: number, over: [k, l]", "{ draws: trial.csv, source: s }", file), [2, 4]);
  });
});

describe("the period and the unit of the evidence", () => {
  test.each<readonly [what: string, declared: string, evidence: string, value: number]>([
    [
      "a probability of five years",
      yearly,
      "{ observed: { events: 36, of: 100 }, per: 5 years, source: s }",
      1 - 0.64 ** 0.2,
    ],
    ["a probability of a month", yearly, "{ fixed: 0.02, per: month, why: w, source: s }", 1 - 0.98 ** 12],
    ["a probability of the model's own period", yearly, "{ fixed: 0.02, per: 12 months, why: w, source: s }", 0.02],
    ["a certain probability", yearly, "{ fixed: 1, per: 5 years, why: w, source: s }", 1],
    ["a probability of nothing", yearly, "{ fixed: 0, per: 5 years, why: w, source: s }", 0],
    [
      "a probability of five years of the model",
      "is: probability, per: 5 years",
      "{ fixed: 0.2, per: year, why: w, source: s }",
      1 - 0.8 ** 5,
    ],
    [
      "a ratio per five units",
      "is: hazard_ratio, per: kg/m2",
      "{ estimate: 1.21, interval: [1.1, 1.3], per: 5 kg/m2, source: s }",
      1.21 ** 0.2,
    ],
    [
      "a ratio per unit of a model in fives",
      "is: ratio, per: 5 kg/m2",
      "{ fixed: 1.1, per: kg/m2, why: w, source: s }",
      1.1 ** 5,
    ],
  ])("%s is converted to the model's", (_, declared, evidence, value) => {
    expectClose(base(declared, evidence), [value]);
  });

  test("evidence of cells that share out a whole stays a whole", () => {
    const [stay, leave] = base(
      "is: probability, per: year, over: [stay, leave]",
      "{ fixed: { stay: 0.64, leave: 0.36 }, why: w, source: s }",
    );
    expectClose([stay!, leave!], [0.64, 0.36]);
  });

  test.each([
    [share, "{ fixed: 0.3, per: 5 years, why: w, source: s }", "inconsistent-keys"],
    [rate, "{ fixed: 0.3 / year, per: 5 years, why: w, source: s }", "inconsistent-keys"],
    ["is: hazard_ratio", "{ fixed: 1.2, per: 5 kg/m2, why: w, source: s }", "inconsistent-keys"],
    [yearly, "{ fixed: 0.3, per: 5 kg/m2, why: w, source: s }", "unit-mismatch"],
    [yearly, "{ fixed: 0.3, per: 0 years, why: w, source: s }", "out-of-range"],
    [yearly, "{ fixed: 0.3, per: 5, why: w, source: s }", "unit-mismatch"],
    ["is: hazard_ratio, per: kg/m2", "{ fixed: 1.2, per: 5 years, why: w, source: s }", "unit-mismatch"],
  ])("%s of %s is refused", (declared, evidence, code) => {
    expect(codes(declared, evidence)).toEqual([code]);
  });
});

describe("a value of a kind", () => {
  // the least and greatest that a kind admits, and what lies beyond
  test.each([
    [share, ["0", "1"], ["-0.01", "1.01"]],
    [yearly, ["0", "1"], ["-0.01", "1.01"]],
    ["is: probability, of: case", ["0", "1"], ["-0.01", "1.01"]],
    [rate, ["0 / year", "12 / month"], ["-1 / year"]],
    ["is: hazard_ratio", ["0.001", "100"], ["0", "-1"]],
    ["is: relative_risk", ["0.001", "100"], ["0", "-1"]],
    ["is: odds_ratio", ["0.001", "100"], ["0", "-1"]],
    ["is: ratio", ["0", "100"], ["-1"]],
    ["is: change", ["-5", "5"], []],
    [cost, ["0 EUR/year", "1e9 EUR/year"], ["-1 EUR/year"]],
    ["is: money", ["-5 EUR", "5 EUR"], []],
    ["is: utility", ["-5", "1"], ["1.01"]],
    ["is: utility, per: kg/m2", ["-5", "1"], []],
    ["is: duration", ["0 years", "50 years"], ["-1 year"]],
    ["is: count", ["0", "1e6"], ["-1"]],
    ["is: number", ["-1e300", "1e300"], []],
  ])("declared as %s lies in its range", (declared, inside, outside) => {
    for (const value of inside) expect(codes(declared, `{ fixed: ${value}, why: w, source: s }`), value).toEqual([]);
    for (const value of outside)
      expect(codes(declared, `{ fixed: ${value}, why: w, source: s }`), value).toEqual(["out-of-range"]);
  });

  test.each([
    [cost, ["5", "5 EUR", "5 year", "5 QALY/year"]],
    ["is: cost, of: piece", ["5", "5 EUR/year"]],
    ["is: money", ["5", "5 EUR/year"]],
    ["is: duration", ["5", "5 EUR", "5 / year"]],
    [rate, ["5", "5 years"]],
    [share, ["5 years", "0.5 / year", "0.5 EUR"]],
    ["is: hazard_ratio", ["1.2 years"]],
    ["is: number, in: kg/m2", ["25", "25 kg", "25 m"]],
    ["is: number", ["25 kg"]],
    ["is: count", ["3 EUR"]],
    ["is: utility", ["0.5 EUR", "0.5 QALY"]],
  ])("declared as %s has its unit", (declared, wrong) => {
    for (const value of wrong)
      expect(codes(declared, `{ fixed: ${value}, why: w, source: s }`), value).toEqual(["unit-mismatch"]);
  });

  test.each([
    ["is: cost, of: piece", ["5 EUR", "5 EUR/piece", "5 EUR/visit", "0"]],
    ["is: count", ["3", "300%"]],
    ["is: utility", ["0.5", "0.5 QALY/year", "50%"]],
    [cost, ["0", "5 EUR/month"]],
    ["is: duration", ["0", "5 weeks", "2 cycles"]],
  ])("declared as %s may be written in several ways", (declared, right) => {
    for (const value of right) expect(codes(declared, `{ fixed: ${value}, why: w, source: s }`), value).toEqual([]);
  });
});

describe("what no form reads is refused", () => {
  test.each([
    [share, "{ fixed: 0.3, why: w, se: 0.1, source: s }"],
    [share, "{ fixed: 0.3, why: w, interval: [0.1, 0.5], source: s }"],
    [share, "{ fixed: 0.3, why: w, range: [0.1, 0.5], source: s }"],
    [share, "{ fixed: 0.3, why: w, distribution: beta, source: s }"],
    [share, "{ observed: { events: 1, of: 4 }, level: 95%, source: s }"],
    [share, "{ mean: 0.3, se: 0.1, interval: [0.1, 0.5], source: s }"],
    [share, "{ mean: 0.3, se: 0.1, prior: 1, source: s }"],
    [share, "{ estimate: 0.3, interval: [0.1, 0.5], se: 0.1, source: s }"],
    [share, "{ estimate: 0.3, interval: [0.1, 0.5], prior: none, source: s }"],
    ["is: choice, of: [k, l]", "{ chosen: { k: 1 }, level: 95%, source: s }"],
    [
      "is: share, over: [k, l], each_sums: false",
      "{ each: { k: { fixed: 0.3, why: w }, l: { fixed: 0.3, why: w } }, range: [0, 0.5], source: s }",
    ],
    [
      "is: probability, per: year, over: [k, l], each_sums: false",
      "{ each: { k: { fixed: 0.3, why: w }, l: { fixed: 0.3, why: w } }, per: 5 years, source: s }",
    ],
  ])("%s: %s", (declared, evidence) => {
    expect(codes(declared, evidence)).toEqual(["inconsistent-keys"]);
  });
});

test("every kind has a family for each way of reporting", () => {
  for (const kind of Kind.options) {
    expect(familyOf(kind, "mean")).toMatch(/^(beta|gamma|normal|log-normal|choice)$/);
    expect(familyOf(kind, "estimate")).toMatch(/^(logit-normal|log-normal|normal|choice)$/);
  }
});
