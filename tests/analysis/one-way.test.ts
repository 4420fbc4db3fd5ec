import { describe, expect, test } from "vitest";
import { oneWayRows } from "../../src/analysis/one-way.ts";
import { InputError } from "../../src/errors.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

// 97.5 % quantile of the standard normal law. Source: qnorm(0.975) of base R, as in any printed table.
const z = 1.959963984540054;

/** The rows of a case, each by the key of its value, the first under `base`. */
function rowsOf(model: string, scenario: string) {
  const { program, sampler } = openStudy(caseFiles(model, scenario), scenarioPath);
  const { inputs, rows } = oneWayRows(sampler);
  const keys = program.components.map(({ key }) => key);
  const row = (k: number) =>
    Object.fromEntries(keys.map((key, i) => [key, rows[k * keys.length + i]!])) as Record<string, number>;
  let k = 0;
  return {
    base: row(0),
    count: rows.length / keys.length,
    of: new Map(
      inputs.map(({ component, values }) => [
        keys[component]!,
        values.map(() => {
          k += 1;
          return row(k);
        }),
      ]),
    ),
  };
}

const model = `
  inputs:
    care: { is: cost, per: year }
    visit: { is: cost, per: year }
    same: { is: cost, per: year }
    sites: { is: share, over: [a, b, c] }
    mild: { is: utility }
    severe: { is: utility }
`;

const scenario = `
  inputs:
    care: { mean: 800 EUR/year, se: 80 EUR/year, distribution: normal, source: invented }
    visit: { fixed: 20 EUR/year, why: test, source: invented }
    same: { same_as: care, source: invented }
    sites: { observed: { counts: { a: 20, b: 30, c: 50 } }, source: invented }
    mild: { mean: 0.7, se: 0.05, source: invented }
    severe: { mean: 0.8, se: 0.06, source: invented }
  ordered: [[mild, severe]]
`;

describe("rows in which one value at a time leaves its base value", () => {
  const rows = rowsOf(model, scenario);

  test("stand for the ends of each uncertain value, the base row first, and for no fixed one", () => {
    expect([...rows.of.keys()]).toEqual(["care", "sites[a]", "sites[b]", "sites[c]", "mild", "severe"]);
    expect(rows.count).toBe(1 + 2 * 6);
    expect(rows.base["care"]).toBe(800);
  });

  test("are the 95 % interval of its law, and what is the same follows", () => {
    const [low, high] = rows.of.get("care")!;
    expect(low!["care"]).toBeCloseTo(800 - z * 80, 9);
    expect(high!["care"]).toBeCloseTo(800 + z * 80, 9);
    for (const row of [low!, high!]) expect(row["same"]).toBe(row["care"]);
    for (const key of ["visit", "mild", "severe", "sites[a]"]) expect(high![key]).toBe(rows.base[key]);
  });

  test("keep a sum at 1: the cells beside it share what is left as they did", () => {
    for (const row of rows.of.get("sites[b]")!) {
      expect(row["sites[a]"]! + row["sites[b]"]! + row["sites[c]"]!).toBeCloseTo(1, 12);
      expect(row["sites[a]"]! / row["sites[c]"]!).toBeCloseTo(rows.base["sites[a]"]! / rows.base["sites[c]"]!, 12);
    }
    const [low, high] = rows.of.get("sites[b]")!;
    expect(low!["sites[b]"]!).toBeLessThan(rows.base["sites[b]"]!);
    expect(high!["sites[b]"]!).toBeGreaterThan(rows.base["sites[b]"]!);
  });

  test("keep an order: what lies above moves with it", () => {
    for (const key of ["mild", "severe"])
      for (const row of rows.of.get(key)!) expect(row["severe"]!).toBeGreaterThanOrEqual(row["mild"]!);
    const [low] = rows.of.get("mild")!;
    expect(low!["severe"]!).toBeLessThan(rows.base["severe"]!);
    for (const row of rows.of.get("severe")!) expect(row["mild"]).toBe(rows.base["mild"]);
  });

  test("a law that reaches outside the input's range is refused at its place", () => {
    const wide = scenario.replace("se: 80 EUR/year", "se: 500 EUR/year");
    expect(() => rowsOf(model, wide)).toThrow(InputError);
    try {
      rowsOf(model, wide);
    } catch (error) {
      expect((error as InputError).findings[0]).toMatchObject({ code: "out-of-range", path: "inputs.care.mean" });
    }
  });
});
