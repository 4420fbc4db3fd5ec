import { describe, expect, test } from "vitest";
import { bindExpression } from "../../src/compile/bind.ts";
import { typeText } from "../../src/compile/type.ts";
import { InputError } from "../../src/errors.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

// Which kinds and units go together, and what they give. The tables follow the rules of models/README.md.

const { program } = openStudy(
  caseFiles(
    `
    inputs:
      p: { is: probability, per: year }
      q: { is: probability, per: month }
      case_p: { is: probability, of: attempt }
      r: { is: rate, per: year }
      hr: { is: hazard_ratio }
      rr: { is: relative_risk }
      odds: { is: odds_ratio }
      ratio: { is: ratio }
      share: { is: share }
      change: { is: change }
      cost: { is: cost, per: year }
      price: { is: cost, of: piece }
      sum: { is: money }
      health: { is: utility }
      wait: { is: duration }
      count: { is: count }
      bare: { is: number }
      bmi: { is: number, in: kg/m2 }
      per_bmi: { is: hazard_ratio, per: kg/m2 }
      per_five: { is: ratio, per: 5 kg/m2 }
    tables: { background: { by: { age: year }, is: probability, per: year } }
    factors: { stage: [a, b] }
    start: { stage: a }
    formulas: { lost: change }
    `,
    `
    inputs:
${["p", "q", "case_p", "share", "change", "ratio", "hr", "rr", "odds", "count", "bare", "health", "per_bmi", "per_five"]
  .map((name) => `      ${name}: { fixed: 0.5, why: test, source: invented }`)
  .join("\n")}
      r: { fixed: 0.5 / year, why: test, source: invented }
      cost: { fixed: 5 EUR/year, why: test, source: invented }
      price: { fixed: 5 EUR, why: test, source: invented }
      sum: { fixed: 5 EUR, why: test, source: invented }
      wait: { fixed: 5 years, why: test, source: invented }
      bmi: { fixed: 25 kg/m2, why: test, source: invented }
    tables: { background: { points: [[0, 0.1], [100, 0.2]], source: invented } }
    `,
  ),
  scenarioPath,
);
const place = { file: "x.yaml", line: 1, column: 1, path: "formulas.x" };

/** The type of an expression in words, or the code of what is wrong with it. */
function typeOf(text: string): string {
  try {
    const { type } = bindExpression({ text, place }, program.scope);
    return type.zero ? "zero" : typeText(type);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.findings.map(({ code }) => code).join();
  }
}

const yearly = "probability per year";
const ofCase = "probability of a case";
const bare = "a bare number";
const crossing = "kind-crossing";
const units = "units-inconsistent";

describe("products, either way round", () => {
  test.each([
    ["2", "p", yearly],
    ["2", "hr", "hazard ratio"],
    ["2", "cost", "money/year"],
    ["2", "3", bare],
    ["0", "cost", "zero"],
    ["0", "per_bmi", "zero"],
    ["share", "p", yearly],
    ["share", "case_p", ofCase],
    ["share", "r", "rate"],
    ["share", "share", "share"],
    ["share", "ratio", "ratio"],
    ["share", "change", "change"],
    ["share", "cost", "money/year"],
    ["share", "bmi", "kg/m^2"],
    ["share", "hr", "hazard ratio"],
    ["ratio", "p", yearly],
    ["ratio", "r", "rate"],
    ["ratio", "ratio", "ratio"],
    ["ratio", "change", "change"],
    ["ratio", "wait", "year"],
    ["change", "change", "change"],
    ["change", "bmi", "kg/m^2"],
    ["hr", "r", "rate"],
    ["hr", "hr", "hazard ratio"],
    ["hr", "p", crossing],
    ["hr", "case_p", crossing],
    ["hr", "rr", crossing],
    ["hr", "odds", crossing],
    ["hr", "cost", crossing],
    ["hr", "wait", crossing],
    ["rr", "p", yearly],
    ["rr", "q", "probability per 1 months"],
    ["rr", "case_p", ofCase],
    ["rr", "rr", "relative risk"],
    ["rr", "r", crossing],
    ["rr", "odds", crossing],
    ["rr", "cost", crossing],
    ["odds", "odds", "odds ratio"],
    ["odds", "p", crossing],
    ["odds", "share", "odds ratio"],
    ["odds", "r", crossing],
    ["p", "p", crossing],
    ["p", "q", crossing],
    ["p", "case_p", yearly],
    ["case_p", "case_p", ofCase],
    ["p", "r", crossing],
    ["p", "cost", crossing],
    ["p", "sum", crossing],
    ["p", "wait", crossing],
    ["case_p", "sum", "money"],
    ["case_p", "price", "money/piece"],
    ["case_p", "wait", "year"],
    ["cost", "wait", "money"],
    ["price", "count", "money/piece"],
    ["r", "wait", "ratio"],
    ["r", "price", "money/year/piece"],
    ["health", "wait", "QALY"],
    ["count", "price", "money/piece"],
    ["count", "count", bare],
    ["bmi", "bmi", "kg^2/m^4"],
    ["per_bmi", "2", crossing],
    ["per_bmi", "r", crossing],
    ["per_bmi", "bmi", crossing],
    ["(time < 1 year)", "cost", crossing],
    ["(time < 1 year)", "2", crossing],
    ["time", "r", "ratio"],
    ["background(time)", "rr", yearly],
    ["background(time)", "hr", crossing],
    ["hazard_of(background(time))", "hr", "rate"],
    ["hazard_of(p)", "hr", "rate"],
    ["chance_of(r)", "rr", yearly],
    ["lost", "bmi", "kg/m^2"],
  ])("%s and %s give %s", (a, b, result) => {
    expect(typeOf(`${a} * ${b}`)).toBe(result);
    expect(typeOf(`${b} * ${a}`)).toBe(result);
  });
});

describe("sums, either way round", () => {
  test.each([
    ["1", "p", yearly],
    ["1", "share", "share"],
    ["1", "change", "ratio"],
    ["1", "hr", "hazard ratio"],
    ["1", "ratio", "ratio"],
    ["1", "bare", bare],
    ["1", "2", bare],
    ["1", "bmi", units],
    ["1", "wait", units],
    ["1", "cost", units],
    ["0", "wait", "year"],
    ["0", "cost", "money/year"],
    ["0", "0", "zero"],
    ["p", "p", yearly],
    ["p", "q", units],
    ["p", "case_p", units],
    ["p", "share", crossing],
    ["p", "r", units],
    ["case_p", "share", ofCase],
    ["share", "share", "share"],
    ["share", "ratio", "ratio"],
    ["share", "change", "ratio"],
    ["change", "change", "change"],
    ["ratio", "bare", bare],
    ["hr", "hr", "hazard ratio"],
    ["hr", "rr", crossing],
    ["hr", "ratio", crossing],
    ["cost", "cost", "money/year"],
    ["cost", "sum", units],
    ["cost", "price", units],
    ["cost", "12 EUR/month", "money/year"],
    ["wait", "6 months", "year"],
    ["wait", "time", "year"],
    ["wait", "bmi", units],
    ["bmi", "25 kg/m2", "kg/m^2"],
    ["bmi", "25", units],
    ["health", "0.1", units],
    ["per_bmi", "per_bmi", "hazard ratio per kg/m^2"],
    ["per_bmi", "per_five", crossing],
    ["per_bmi", "1", crossing],
    ["(time < 1 year)", "1", crossing],
  ])("%s and %s give %s", (a, b, result) => {
    expect(typeOf(`${a} + ${b}`)).toBe(result);
    expect(typeOf(`${b} - ${a}`)).toBe(result);
    expect(typeOf(`max(${a}, ${b})`).replace(/^ratio$/, "either")).toMatch(
      // of two kinds of number a choice keeps the more particular where a sum cannot
      result === "ratio" ? /^(either|change|ratio)$/ : new RegExp(`^${result.replace(/[/^]/g, "\\$&")}$`),
    );
  });
});

describe("quotients", () => {
  test.each([
    ["p", "2", yearly],
    ["p", "share", yearly],
    ["p", "ratio", yearly],
    ["p", "p", "ratio"],
    ["p", "q", crossing],
    ["p", "rr", yearly],
    ["p", "hr", crossing],
    ["p", "wait", crossing],
    ["p", "r", crossing],
    ["case_p", "case_p", "ratio"],
    ["share", "case_p", "ratio"],
    ["share", "share", "share"],
    ["share", "ratio", "share"],
    ["2", "3", bare],
    ["0", "cost", "zero"],
    ["1", "hr", "hazard ratio"],
    ["1", "rr", "relative risk"],
    ["1", "wait", "rate"],
    ["1", "cost", "year/money"],
    ["1", "p", crossing],
    ["r", "hr", "rate"],
    ["r", "rr", crossing],
    ["r", "r", "ratio"],
    ["r", "2", "rate"],
    ["hr", "hr", "hazard ratio"],
    ["hr", "share", "hazard ratio"],
    ["hr", "rr", crossing],
    ["hr", "wait", crossing],
    ["cost", "cost", "ratio"],
    ["cost", "(12 EUR/month)", "ratio"],
    ["sum", "wait", "money/year"],
    ["sum", "count", "money"],
    ["time", "wait", "ratio"],
    ["time", "1 year", "ratio"],
    ["bmi", "(25 kg/m2)", "ratio"],
    // quotients read from left to right, also those in a unit; the unit that comes out tells
    ["bmi", "25 kg/m2", "1/m^4"],
    ["change", "change", "change"],
    ["change", "share", "change"],
    ["per_bmi", "2", crossing],
    ["2", "per_bmi", crossing],
    ["cost", "(time < 1 year)", crossing],
  ])("%s over %s is %s", (a, b, result) => {
    expect(typeOf(`${a} / ${b}`)).toBe(result);
  });
});

describe("powers", () => {
  test.each([
    ["2", "3", bare],
    ["bare", "2", bare],
    ["ratio", "bare", "ratio"],
    ["share", "2", "share"],
    ["p", "2", yearly],
    ["hr", "2", "hazard ratio"],
    ["hr", "share", "hazard ratio"],
    ["change", "2", "ratio"],
    ["bmi", "2", "kg^2/m^4"],
    ["wait", "-1", "rate"],
    ["bmi", "bare", units],
    ["2", "wait", units],
    ["2", "(wait / 1 year)", "ratio"],
    ["ratio", "bmi", units],
    ["ratio", "hr", units],
    ["ratio", "p", units],
    ["per_bmi", "bmi", "hazard ratio"],
    ["per_bmi", "(bmi - 25 kg/m2)", "hazard ratio"],
    ["per_five", "bmi", "ratio"],
    ["per_bmi", "2", units],
    ["per_bmi", "wait", units],
    ["per_bmi", "0", "hazard ratio"],
    ["(time < 1 year)", "2", crossing],
  ])("%s to the %s is %s", (a, b, result) => {
    expect(typeOf(`${a} ^ ${b}`)).toBe(result);
  });

  test("of a ratio per five units counts in fives", () => {
    const { node } = bindExpression({ text: "per_five ^ bmi", place }, program.scope);
    expect(node).toMatchObject({ op: "power", right: { op: "divide", right: { op: "number", value: 5 } } });
  });
});

describe("conditions and choices", () => {
  test.each([
    ["time < 2 years", "condition"],
    ["time < 2", units],
    ["time < 0", "condition"],
    ["bmi >= 30 kg/m2 and time > 1 year", "condition"],
    ["stage == a", "condition"],
    ["not (stage == a)", "condition"],
    ["not time < 1 year", crossing],
    ["stage == c", "unknown-reference"],
    ["stage == 1", "name-misused"],
    ["stage < b", "name-misused"],
    ["(time < 1 year) == (time < 2 years)", crossing],
    ["wait and time < 1 year", crossing],
    ["1 and time < 1 year", "condition"],
    ["time < 1 year ? cost : 0", "money/year"],
    ["time < 1 year ? cost : 1", units],
    ["time < 1 year ? cost : sum", units],
    ["time < 1 year ? p : q", units],
    ["time < 1 year ? hr : 1", "hazard ratio"],
    ["time < 1 year ? rr : 1", "relative risk"],
    ["time < 1 year ? hr : rr", crossing],
    ["time < 1 year ? 0 : 0", "zero"],
    ["wait ? 1 : 2", crossing],
    ["time < 1 year ? time < 6 months : time > 2 years", "condition"],
    ["time < 1 year ? time < 6 months : 1", crossing],
    ["-(time < 1 year)", crossing],
  ])("%s is %s", (text, result) => {
    expect(typeOf(text)).toBe(result);
  });
});

describe("functions", () => {
  test.each([
    ["exp(bare)", "ratio"],
    ["exp(-r * wait)", "ratio"],
    ["exp(wait)", "wrong-arguments"],
    ["log(ratio)", bare],
    ["log(bmi)", "wrong-arguments"],
    ["log(bmi / 25 kg/m2)", "wrong-arguments"],
    ["log(bmi / (25 kg/m2))", bare],
    ["sqrt(bmi)", "kg^0.5/m"],
    ["sqrt(share)", "ratio"],
    ["abs(change)", "change"],
    ["abs(-bmi)", "kg/m^2"],
    ["floor(wait)", "wrong-arguments"],
    ["floor(wait / 1 year)", bare],
    ["hazard_of(p)", "rate"],
    ["hazard_of(q)", "rate"],
    ["hazard_of(case_p)", "wrong-arguments"],
    ["hazard_of(share)", "wrong-arguments"],
    ["hazard_of(r)", "wrong-arguments"],
    ["hazard_of(p * rr)", "rate"],
    ["chance_of(r)", yearly],
    ["chance_of(r * hr)", yearly],
    ["chance_of(0)", yearly],
    ["chance_of(p)", "wrong-arguments"],
    ["chance_of(wait)", "wrong-arguments"],
    ["with_odds(p, odds)", yearly],
    ["with_odds(case_p, odds)", ofCase],
    ["with_odds(share, odds)", "share"],
    ["with_odds(p, 2)", yearly],
    ["with_odds(p, rr)", "wrong-arguments"],
    ["with_odds(r, odds)", "wrong-arguments"],
    ["with_odds(odds, p)", "wrong-arguments"],
    ["background(wait)", yearly],
    ["background(0)", yearly],
    ["background(bare)", "wrong-arguments"],
    ["lost(time - 1 year)", "change"],
    ["lost(time - 1)", "wrong-arguments"],
    ["lost(time + 1 year)", "wrong-arguments"],
    ["lost(1 year - time)", "wrong-arguments"],
    ["since(stage)", "no-clock"],
  ])("%s is %s", (text, result) => {
    expect(typeOf(text)).toBe(result);
  });
});
