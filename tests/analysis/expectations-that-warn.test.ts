import { expect, test } from "vitest";
import { runBase } from "../../src/study.ts";
import { findingsOf, fixed, runCase } from "../case.ts";

const model =
  "inputs: { care: { is: cost, per: year } }\naccounts: { cost: { in: money, lines: { care: { amount: care } } }, life_years: { in: year, lines: { alive: { amount: 1 } } } }";
const scenario = (expectation: string): string => `${fixed({ care: "2 EUR/year" })}\nexpect: { small: ${expectation} }`;

test("an assertion that only warns puts its reason among the cautions of a run where it does not hold", () => {
  const warning = (that: string): readonly string[] =>
    runBase(runCase(model, scenario(`{ that: ${that}, otherwise: warn, why: Care costs more than it did. }`)).study)
      .meta.cautions;
  expect(warning("cost.s <= 1 EUR")).toContain("Care costs more than it did.");
  expect(warning("cost.s >= 1 EUR")).not.toContain("Care costs more than it did.");
});

test("an assertion that only warns still has to be a comparison with known names", () => {
  const wrong = (that: string) => {
    const { study } = runCase(model, scenario(`{ that: ${that}, otherwise: warn, why: test }`));
    return () => runBase(study);
  };
  expect(wrong("cost.s")).toThrow(/invalid arguments/);
  expect(wrong("costs.s > 1 EUR")).toThrow(/costs/);
});

test("a warning without words is a mistake", () => {
  expect(findingsOf(model, scenario("{ that: cost.s > 1 EUR, otherwise: warn }"))).toMatchObject([
    { code: "missing-key", path: "expect.small" },
  ]);
});
