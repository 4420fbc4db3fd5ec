import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { dimensionText } from "../../src/schema/dimension.ts";
import { inBase, readQuantity, readUnit } from "../../src/schema/quantity.ts";
import { nearestUnits } from "../../src/schema/unit.ts";
import { expectClose } from "../close.ts";

const read = (text: string | number, cycleYears?: number) => {
  const quantity = readQuantity(text, cycleYears);
  if ("problem" in quantity) throw new Error(`${text}: ${quantity.problem}`);
  return quantity;
};

describe("a quantity", () => {
  // value in base units (years, metres, kilograms, the currency) and dimension, worked out by hand
  test.each<readonly [text: string | number, value: number, dimension: string]>([
    [12, 12, "a bare number"],
    ["12", 12, "a bare number"],
    ["-1.5", -1.5, "a bare number"],
    ["+3", 3, "a bare number"],
    [".5", 0.5, "a bare number"],
    ["5.", 5, "a bare number"],
    ["1e3", 1000, "a bare number"],
    ["1E-2", 0.01, "a bare number"],
    ["1/3", 1 / 3, "a bare number"],
    ["2 / 4", 0.5, "a bare number"],
    ["1/2 year", 0.5, "year"],
    ["3%", 0.03, "a bare number"],
    ["3 %", 0.03, "a bare number"],
    ["-3%", -0.03, "a bare number"],
    ["3% / year", 0.03, "1/year"],
    ["3%/year", 0.03, "1/year"],
    ["0.2 / year", 0.2, "1/year"],
    ["0.2/month", 2.4, "1/year"],
    ["6 months", 0.5, "year"],
    ["5 months", 5 / 12, "year"],
    ["1 month", 1 / 12, "year"],
    ["2 weeks", 14 / 365.25, "year"],
    ["365.25 days", 1, "year"],
    ["1 hour", 1 / 8766, "year"],
    ["90 minutes", 1.5 / 8766, "year"],
    ["20 years", 20, "year"],
    ["1450 EUR", 1450, "money"],
    ["-20 EUR", -20, "money"],
    ["12 EUR/month", 144, "money/year"],
    ["2 EUR/minute", 2 * 525_960, "money/year"],
    ["30000 EUR/QALY", 30_000, "money/QALY"],
    ["25 kg/m2", 25, "kg/m^2"],
    ["25 kg / m2", 25, "kg/m^2"],
    ["25 kg/m^2", 25, "kg/m^2"],
    ["25 kg/m/m", 25, "kg/m^2"],
    ["180 cm", 1.8, "m"],
    ["250 g", 0.25, "kg"],
    ["0.5 QALY", 0.5, "QALY"],
    ["2 QALYs/year", 2, "QALY/year"],
    ["3 pieces", 3, "piece"],
    ["100 EUR/piece", 100, "money/piece"],
    ["100 EUR/visit", 100, "money/piece"],
    ["7 1/year", 7, "1/year"],
    ["  7   years  ", 7, "year"],
  ])("%s is %d in %s", (text, value, dimension) => {
    const quantity = read(text);
    expectClose(quantity.value, value);
    expect(dimensionText(quantity.dimension)).toBe(dimension);
  });

  test("in cycles needs the length of a cycle", () => {
    expectClose(read("6 cycles", 0.5).value, 3);
    expectClose(read("1 cycle", 1 / 12).value, 1 / 12);
    expect(readQuantity("6 cycles")).toMatchObject({ problem: "unit", unit: "cycles" });
  });

  test("of money carries its currency", () => {
    expect(read("12 USD/month").currency).toBe("USD");
    expect(read("12 months").currency).toBeUndefined();
  });

  test.each([
    ...["", " ", "ten", "1,5", "1 450 EUR", "1'450", "€5", "5 €", "5$", "1..2", "1.2.3", "--1", "+-1", "1e", "e5"],
    ...["1/", "1/0", "1e999", "NaN", "Infinity", "0x10", "1_000", "3%%", "%3", "5 EUR per year", "5 EUR/", "5 //year"],
    ...["5 kg/m4", "5 kg^9", "5 kg^-1", "5 m22", "5 (kg)", "1-2 years", "1 to 2 years", "> 5", "5 EUR 3 months"],
    ...[`1${"0".repeat(300)}`, "5 years; drop", "5\u00a0years\u200b", "\u0661 year"],
  ])("is not %j", (text) => {
    const result = readQuantity(text);
    expect("problem" in result).toBe(true);
  });

  test.each([
    ["10 yeras", "yeras", ["years"]],
    ["10 yr", "yr", ["year"]],
    ["6 mo", "mo", ["month"]],
    ["30 min", "min", ["minute"]],
    ["5 euros", "euros", ["EUR"]],
    ["5 eur", "eur", ["EUR"]],
    ["5 chf", "chf", ["CHF"]],
    ["5 QALYS", "QALYS", ["QALY"]],
    ["95 percent", "percent", ["%"]],
    ["5 kilograms", "kilograms", []],
  ])("%s has an unknown unit, with what was meant", (text, unit, near) => {
    expect(readQuantity(text)).toEqual({ problem: "unit", unit, near });
    expect(nearestUnits(unit)).toEqual(near);
  });

  test("of whole months is the same number as twelfths of a year", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1200 }), (months) => {
        expect(read(`${months} months`).value).toBe(months / 12);
      }),
    );
  });

  test("reads back every number that is written with its unit", () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (x) => {
        // text keeps no sign of zero
        expect(read(`${x} EUR`).value === x).toBe(true);
        expect(read(`${x}`).value === x).toBe(true);
      }),
      { numRuns: 1000, seed: 3 },
    );
  });

  test("is refused in time that grows with its length only", () => {
    for (const text of ["1".repeat(5000), `1${" ".repeat(5000)}x`, `1 ${"kg/".repeat(2000)}`, `${"9/".repeat(2000)}`]) {
      const started = performance.now();
      expect("problem" in readQuantity(text)).toBe(true);
      expect(performance.now() - started).toBeLessThan(200);
    }
  });
});

describe("a unit", () => {
  test.each([
    ["", 1],
    ["/ year", 1],
    ["1/year", 1],
    ["/month", 12],
    ["month", 1 / 12],
    ["kg/m2", 1],
    ["g/m2", 0.001],
    ["EUR/m^3", 1],
    ["EUR/year/piece", 1],
  ])("%s has its size in base units", (text, factor) => {
    const unit = readUnit(text);
    if ("problem" in unit) throw new Error(unit.problem);
    expectClose(unit.factor, factor);
  });

  test("turns values into base units and months into exact twelfths", () => {
    expect(inBase(7, { dimension: [0, 1, 0, 0, 0, 0], factor: 1 / 12 })).toBe(7 / 12);
    expect(inBase(7, { dimension: [0, 0, 1, 0, 0, 0], factor: 0.01 })).toBe(0.07);
  });
});
