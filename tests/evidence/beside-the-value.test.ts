import { expect, test } from "vitest";
import { findingsOf, runCase } from "../case.ts";

const model = "inputs: { care: { is: cost, per: year }, fall_ill: { is: rate, per: year } }";

test("levels and quantiles are shares whatever unit `in` gives the value", () => {
  const { study } = runCase(
    model,
    `
    inputs:
      care: { estimate: 100, interval: [80, 130], level: 90%, in: EUR/month, source: invented }
      fall_ill: { quantiles: { 5%: 0.01, 50%: 0.02, 95%: 0.04 }, in: / month, source: invented }
    `,
  );
  const [care, fallIll] = study.program.components;
  // by construction: 12 months to the year
  expect(care?.reported).toEqual({ form: "estimate", estimate: 1200, low: 960, high: 1560, level: 0.9 });
  expect(fallIll?.reported).toEqual({ form: "quantiles", at: [0.05, 0.5, 0.95], values: [0.12, 0.24, 0.48] });
});

test("person-time has a unit of its own", () => {
  const findings = findingsOf(
    model,
    `
    inputs:
      care: { fixed: 1 EUR/year, why: by construction, source: invented }
      fall_ill: { observed: { events: 3, person_time: 100 }, in: / month, source: invented }
    `,
  );
  expect(findings.map(({ code, path }) => [code, path])).toEqual([
    ["unit-mismatch", "inputs.fall_ill.observed.person_time"],
  ]);
});

test("columns of joint draws are in the unit that `in` gives", () => {
  const { study } = runCase(
    "inputs: { care: { is: cost, per: year } }",
    "inputs: { care: { draws: ./joint.csv, column: care, in: EUR/month, source: invented } }",
    { "scenarios/joint.csv": "care\n10\n20\n" },
  );
  const [care] = study.program.components;
  // by construction: 12 months to the year
  expect(care?.reported).toEqual({ form: "draws", file: "./joint.csv", values: [120, 240] });
  expect(care?.base).toBe(180);
});
