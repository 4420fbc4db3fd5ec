import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { discountFactor } from "../src/engine/discount.ts";
import { crudeHazard } from "../src/numerics/crude-incidence.ts";
import { interpolated, monotoneSlopes } from "../src/numerics/interpolate.ts";
import { runCase } from "./case.ts";

// Formula-level checks against published or closed-form values; sources stand beside them.

const relative = (found: number, expected: number): number => Math.abs(found / expected - 1);

describe("discounting and annuities", () => {
  // Source: annuity factors of Drummond et al., Methods (from memory: 4.2124 for 5 years at 6%, 2.7232 for 3 at 5%);
  // the others are the closed form (1 - (1 + r)^-n) / r, recomputed in double precision.
  test.each([
    [5, 0.06, 4.212363785565717, 4.46510561269966, 0.747258172866057],
    [3, 0.05, 2.7232480293704797, 2.859410430839004, 0.863837598531476],
    [10, 0.035, 8.316605322577937, 8.607686508868165, 0.7089188137097722],
    [20, 0.03, 14.877474860455516, 15.323799106269181, 0.5536757541863345],
    [20, 0.035, 14.212403301952268, 14.709837417520596, 0.5025658844316706],
  ])("%i years at %f", (years, rate, arrears, due, factor) => {
    const steps = [{ afterYears: 0, rate }];
    const at = (t: number): number => discountFactor(steps, t);
    const sum = (from: number): number =>
      Array.from({ length: years }, (_, i) => at(i + from)).reduce((total, v) => total + v, 0);
    expect(relative(sum(1), arrears)).toBeLessThan(1e-13);
    expect(relative(sum(0), due)).toBeLessThan(1e-13);
    expect(relative(at(years), factor)).toBeLessThan(1e-14);
    if (years === 5) expect(sum(1)).toBeCloseTo(4.2124, 4);
    if (years === 3) expect(sum(1)).toBeCloseTo(2.7232, 4);
  });

  test("an equivalent annual cost of 10,000 over 5 years at 6% is 2,373.96 (Drummond et al., from memory)", () => {
    const annuity = [1, 2, 3, 4, 5].reduce((sum, t) => sum + discountFactor([{ afterYears: 0, rate: 0.06 }], t), 0);
    expect(relative(10000 / annuity, 2373.9640043118943)).toBeLessThan(1e-13);
  });

  test("stepped rates compound: 4% for 30 years, then 2%", () => {
    const steps = [
      { afterYears: 0, rate: 0.04 },
      { afterYears: 30, rate: 0.02 },
    ];
    expect(relative(discountFactor(steps, 40), 1.04 ** -30 * 1.02 ** -10)).toBeLessThan(1e-13);
    expect(discountFactor(steps, 0)).toBe(1);
  });
});

describe("rates and probabilities", () => {
  // Source: Fleurence and Hollenbeak, PharmacoEconomics 2007;25:3-6 (formula from memory), values by the closed form.
  const model = (formula: string) =>
    runCase(
      `
cycle: 1 year
evaluate: start
strategies: { a: { label: A } }
inputs: { five: { is: probability, per: 5 years }, yearly: { is: probability, per: year }, rate: { is: rate, per: year } }
formulas: { asked: "${formula}" }
curves: { asked: { of: asked } }
factors: { f: [x] }
start: { f: x }
events: { used: { chance: "five < 2 ? yearly : 0" }, rated: { rate: rate } }
accounts: { cost: { in: money, lines: { none: { amount: 0 } } }, qaly: { in: QALY, lines: { none: { amount: 0 } } } }`,
      `
settings: { horizon: 1 year, money: { unit: EUR } }
inputs:
  five: { fixed: 0.2, why: constructed, source: constructed }
  yearly: { fixed: 0.0435, why: constructed, source: constructed }
  rate: { fixed: 0.1 / year, why: constructed, source: constructed }`,
    );
  test.each([
    ["hazard_of(five) * 1 year", 0.044628710262841945],
    ["chance_of(hazard_of(five)) < 1 ? hazard_of(five) * 1 year : 0", 0.044628710262841945],
  ])("%s", (formula, expected) => {
    expect(relative(model(formula).curve("asked")[0]!, expected)).toBeLessThan(1e-12);
  });

  test.each([
    ["1 year", "p: { is: probability, per: 5 years }", "p: { fixed: 0.2, why: x, source: x }", 0.043647500209963],
    ["1 month", "p: { is: probability, per: year }", "p: { fixed: 0.0435, why: x, source: x }", 0.0036993479983105093],
    [
      "1 year",
      "p: { is: probability, per: year }",
      "p: { fixed: 0.2, per: 5 years, why: x, source: x }",
      0.043647500209963,
    ],
  ])("a chance in cycles of %s from %s, %s", (cycle, input, evidence, expected) => {
    const result = runCase(
      `
cycle: ${cycle}
strategies: { a: { label: A } }
inputs: { ${input} }
factors: { f: [x] }
start: { f: x }
events: { die: { chance: p, then: dead } }
accounts: { cost: { in: money, lines: { none: { amount: 0 } } }, deaths: { count: die } }`,
      `
settings: { horizon: 1 cycle, money: { unit: EUR } }
inputs: { ${evidence} }`,
    );
    expect(relative(result.events("die")[0]!, expected)).toBeLessThan(1e-12);
  });

  test("one year of a rate of 0.1", () => {
    const result = runCase(
      "cycle: 1 year\nstrategies: { a: { label: A } }\ninputs: { r: { is: rate, per: year } }\nfactors: { f: [x] }\nstart: { f: x }\nevents: { die: { rate: r, then: dead } }\naccounts: { cost: { in: money, lines: { none: { amount: 0 } } }, deaths: { count: die } }",
      "settings: { horizon: 1 year, money: { unit: EUR } }\ninputs: { r: { fixed: 0.1 / year, why: x, source: x } }",
    );
    expect(relative(result.events("die")[0]!, 0.09516258196404048)).toBeLessThan(1e-14);
  });

  test("a crude incidence is the cumulative incidence of its hazard beside the others (closed form)", () => {
    for (const p of [1e-9, 0.03, 0.2, 0.6, 0.95]) {
      for (const others of [0, 0.01, 0.3, 2]) {
        for (const years of [0.25, 1, 5]) {
          const h = crudeHazard(p, others, years);
          const back = (h / (h + others)) * -Math.expm1(-(h + others) * years);
          expect(relative(back, p)).toBeLessThan(1e-12);
        }
      }
    }
    expect(crudeHazard(0, 0.3, 1)).toBe(0);
    expect(crudeHazard(1, 0.3, 1)).toBeNaN();
  });
});

describe("life expectancy in closed form", () => {
  const constant = (horizon: number, cycle: string, counting: string, discount = "0% / year") =>
    runCase(
      `cycle: ${cycle}\nstrategies: { a: { label: A } }\ninputs: { h: { is: rate, per: year } }\nfactors: { f: [x] }\nstart: { f: x }\nevents: { die: { rate: h, then: dead } }\naccounts: { cost: { in: money, lines: { none: { amount: 0 } } }, years: { in: year, lines: { alive: { amount: 1 } } } }`,
      `settings: { horizon: ${horizon} years, money: { unit: EUR }, effect: years, counting: ${counting}, discount: { effects: ${discount} } }\ninputs: { h: { fixed: 0.05 / year, why: constructed, source: constructed } }`,
    ).total("years");
  // Constructed: hazard 0.05 a year; closed forms 1/h, and sums of e^{-ht} and e^{-ht} 1.03^-t.
  test.each([
    [
      "discounted, annual rate 3%, monthly trapezoid",
      constant(60, "1 month", "trapezoid", "3% / year"),
      12.56931944455311 * (1 - Math.exp(-(0.05 + Math.log(1.03)) * 60)),
      1e-5,
    ],
    ["start of yearly cycles", constant(1000, "1 year", "start", "3% / year"), 13.075948645434684, 1e-12],
    ["end of yearly cycles", constant(1000, "1 year", "end", "3% / year"), 12.075948645434684, 1e-12],
  ])("%s", (_, found, expected, tolerance) => {
    expect(relative(found, expected)).toBeLessThan(tolerance);
  });

  // Constructed: Gompertz hazard a e^{b age}, a = 0.0001, b = 0.09; life expectancies by the exponential integral
  // (NumPy and R agree).
  test.each([
    [0, 69.2579093963419],
    [40, 30.845079794291824],
    [65, 11.876902428026893],
  ])("Gompertz from age %i", (age, expected) => {
    const found = runCase(
      `cycle: 1 month\nstrategies: { a: { label: A } }\ninputs: { level: { is: rate, per: year }, slope: { is: rate, per: year }, age0: { is: duration } }\nfactors: { f: [x] }\nstart: { f: x }\nevents: { die: { rate: "level * exp(slope * (age0 + time))", then: dead } }\naccounts: { cost: { in: money, lines: { none: { amount: 0 } } }, years: { in: year, lines: { alive: { amount: 1 } } } }`,
      `settings: { horizon: 130 years, money: { unit: EUR }, effect: years, counting: trapezoid }\ninputs: { level: { fixed: 0.0001 / year, why: x, source: x }, slope: { fixed: 0.09 / year, why: x, source: x }, age0: { fixed: ${age} years, why: x, source: x } }`,
    ).total("years");
    expect(relative(found, expected)).toBeLessThan(2e-5);
  });
});

describe("tables between their rows", () => {
  const x = Float64Array.from([0, 1, 2, 4]);
  const y = Float64Array.from([0, 1, 1, 3]);
  test("monotone interpolation passes through the rows, rises where they rise and is flat where they are", () => {
    const slopes = monotoneSlopes(x, y);
    for (const [i, at] of x.entries()) expect(interpolated("monotone", x, y, slopes, at)).toBe(y[i]);
    let before = 0;
    for (let t = 0; t <= 4; t += 0.01) {
      const value = interpolated("monotone", x, y, slopes, t);
      expect(value).toBeGreaterThanOrEqual(before - 1e-15);
      before = value;
    }
    expect(interpolated("monotone", x, y, slopes, 1.5)).toBe(1);
  });
  test("straight lines, steps, and the end rows held", () => {
    expect(interpolated("linear", x, y, x, 3)).toBe(2);
    expect(interpolated("step", x, y, x, 3.999)).toBe(1);
    expect(interpolated("linear", x, y, x, -1)).toBe(0);
    expect(interpolated("linear", x, y, x, 9)).toBe(3);
  });
});

describe("the life table", () => {
  const rows = readFileSync("models/tables/us-2014.csv", "utf8")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"));
  const table = rows.slice(1).map((line) => line.split(",").map(Number));
  const expectancy = (column: number): number => {
    let alive = 1;
    let years = 0;
    for (const row of table) {
      const hazard = -Math.log1p(-row[column]!);
      years += (alive * row[column]!) / hazard;
      alive *= 1 - row[column]!;
    }
    // the last row's hazard is held
    return years + alive / -Math.log1p(-table.at(-1)![column]!);
  };

  // Source: NVSR 66(4), United States Life Tables 2014 (life expectancies at birth 76.5 and 81.3 read in the abstract).
  test("gives the published life expectancies at birth", () => {
    expect(Math.abs(expectancy(1) - 76.5)).toBeLessThan(0.06);
    expect(Math.abs(expectancy(2) - 81.3)).toBeLessThan(0.06);
  });

  const hasR = spawnSync("Rscript", ["-e", "library(survival)"]).status === 0;
  if (!hasR)
    process.stdout.write(
      "skipped: the life table against R's survival package, because R with survival is not installed\n",
    );
  test.skipIf(!hasR)("agrees with the daily hazards of survexp.us in the R package survival", () => {
    const script =
      'library(survival); for (s in c("male","female")) cat(sprintf("%.10f", 1 - exp(-365.25 * survexp.us[, s, "2014"])), "\\n")';
    const { stdout } = spawnSync("Rscript", ["-e", script], { encoding: "utf8" });
    const [male, female] = stdout
      .trim()
      .split("\n")
      .map((line) => line.trim().split(/\s+/).map(Number));
    for (const [age, row] of table.entries()) {
      expect(Math.abs(row[1]! - male![age]!)).toBeLessThan(6e-7);
      expect(Math.abs(row[2]! - female![age]!)).toBeLessThan(6e-7);
    }
  });
});
