import { describe, expect, test } from "vitest";
import { levelText, levelWithUnit, wholeText } from "../../src/report/level-text.ts";
import { curveTable, membershipByFactor, membershipTable, shownPositions } from "../../src/report/time-tables.ts";
import type { CurveSeries } from "../../src/report/works.ts";

const strategies = [
  { id: "a", label: "First" },
  { id: "b", label: "Second" },
];

function series(id: string, label: string, a: readonly (number | null)[], b: readonly number[]): CurveSeries {
  return { id, label, unit: "share", years: a.map((_, year) => year), values: { a, b } };
}

test.each([
  [levelText(31.675, "kg/m2"), "31.7"],
  [levelText(-0.0213, "kg"), "−0.021"],
  [levelText(1234.5, "EUR"), "1,235"],
  [levelText(0.114, ""), "11%"],
  [levelWithUnit(31.675, "kg/m2"), "31.7 kg/m2"],
  [levelWithUnit(0.5, "share"), "50%"],
  [wholeText(20), "20"],
  [wholeText(2.5), ""],
])("%s reads %s", (found, expected) => {
  expect(found).toBe(expected);
});

describe("a curve's table", () => {
  test("stands at round years and at the last position, whatever it is", () => {
    const months = Array.from({ length: 44 }, (_, month) => month / 12);
    expect(shownPositions(months).map((at) => months[at])).toEqual([0, 0.5, 1, 2, 3, 43 / 12]);
    expect(shownPositions([])).toEqual([]);
  });

  test("has one row per strategy, and an empty cell where nobody is left", () => {
    const curve = { ...series("bmi", "Body mass index", [36, 32.04, null], [36, 31, 30]), unit: "kg/m2" };
    expect(curveTable(curve, strategies)).toEqual({
      header: ["Strategy", "At the start", "1 year", "2 years"],
      rows: [
        ["First", "36.0", "32.0", ""],
        ["Second", "36.0", "31.0", "30.0"],
      ],
    });
  });
});

describe("membership by factor", () => {
  const all = [
    series("course.waiting", "course: waiting", [1, 0, 0], [1, 0, 0]),
    series("course.done", "course: done", [0, 1, 0.9], [0, 1, 0.9]),
    series("illness.none", "illness: none", [0.9, 0.8, 0.5], [0.9, 0.85, 0.6]),
    series("illness.ill", "illness: ill", [0.1, 0.2, 0.4], [0.1, 0.15, 0.3]),
    series("dead", "Dead", [0, 0, 0.1], [0, 0, 0.1]),
  ];

  test("puts first the factor in which most still happens after the first year, and death last in each", () => {
    const factors = membershipByFactor(all);
    expect(factors.map(({ factor }) => factor)).toEqual(["illness", "course"]);
    expect(factors[0]!.levels.map(({ level }) => level)).toEqual(["none", "ill", "Dead"]);
  });

  test("is a table of shares by level and strategy", () => {
    const [illness] = membershipByFactor(all);
    expect(membershipTable(illness!, strategies).rows).toEqual([
      ["None", "First", "90%", "80%", "50%"],
      ["None", "Second", "90%", "85%", "60%"],
      ["Ill", "First", "10%", "20%", "40%"],
      ["Ill", "Second", "10%", "15%", "30%"],
      ["Dead", "First", "0%", "0%", "10%"],
      ["Dead", "Second", "0%", "0%", "10%"],
    ]);
  });

  test("shares of the levels and of the dead sum to everybody", () => {
    for (const { levels } of membershipByFactor(all)) {
      for (const id of ["a", "b"]) {
        for (const at of [0, 1, 2])
          expect(levels.reduce((sum, level) => sum + level.values[id]![at]!, 0)).toBeCloseTo(1, 12);
      }
    }
  });
});
