import { describe, expect, test } from "vitest";
import { findingsOf, fixed, type Outcome, runCase } from "../case.ts";
import { expectClose } from "../close.ts";

// What formulas say: names, axes, time, tables, units, kinds, groups.

const settings = (horizon: string, more = "") =>
  `settings: { money: { unit: EUR }, horizon: ${horizon}, effect: life_years${more === "" ? "" : `, ${more}`} }`;

/** Accounts that collect one amount per year, counted at the start of each cycle where the scenario says so. */
const collect = (amount: string, unit = "money") =>
  `accounts:
      collected: { in: ${unit}, lines: { all: { amount: "${amount}" } } }
      cost: { in: money, lines: { none: { amount: 0 } } }
      life_years: { in: year, lines: { alive: { amount: 1 } } }`;

/** The yearly values of an amount of bare numbers, cycle by cycle of a year, read off an account that counts EUR. */
const yearly = (expression: string, model = "", scenario = ""): readonly number[] =>
  runCase(
    `${model}\n${collect(`1 EUR/year * (${expression})`).replace(/^ {4}/gm, "")}`,
    `${scenario.includes("settings:") ? "" : settings("4 years", "counting: start")}\n${scenario}`,
  ).cycles("collected");

describe("time", () => {
  test("is that of the middle of the cycle, or of its start where the model says so", () => {
    expectClose(yearly("time / 1 year"), [0.5, 1.5, 2.5, 3.5]);
    expectClose(yearly("time / 1 year", "evaluate: start"), [0, 1, 2, 3]);
  });

  test("is the cycle over the cycles a year, never summed, so whole months compare exactly", () => {
    const months = 120;
    const at = (k: number, relation: string) =>
      runCase(
        `evaluate: start\ncycle: 1 month\n${collect(`time ${relation} ${k} months ? 12 EUR/year : 0`).replace(/^ {4}/gm, "")}`,
        settings(`${months} months`, "counting: start"),
      ).cycles("collected");
    for (const k of [0, 3, 5, 7, 10, 14, 17, 20, 50, 100, 119]) {
      expectClose(
        at(k, "=="),
        Array.from({ length: months }, (_, c) => (c === k ? 1 : 0)),
      );
      expectClose(
        at(k, "<"),
        Array.from({ length: months }, (_, c) => (c < k ? 1 : 0)),
      );
    }
  });

  test("has 12 months, 365.25 days and 365.25 / 7 weeks in a year", () => {
    expectClose(yearly("1 year / 1 month")[0]!, 12);
    expectClose(yearly("1 year / 1 day")[0]!, 365.25);
    expectClose(yearly("1 year / 1 week")[0]!, 365.25 / 7);
    expectClose(yearly("1 day / 1 hour")[0]!, 24);
    expectClose(yearly("1 hour / 1 minute")[0]!, 60);
  });

  test("goes with the number of the cycle and its length", () => {
    expectClose(yearly("cycle"), [0, 1, 2, 3]);
    expectClose(yearly("cycle_length / 1 month"), [12, 12, 12, 12]);
    expectClose(yearly("time < 2 cycles ? 1 : 0"), [1, 1, 0, 0]);
    expectClose(yearly("time < 1 cycle ? 1 : 0"), [1, 0, 0, 0]);
  });
});

describe("operators", () => {
  const cases: readonly (readonly [expression: string, value: number])[] = [
    ["1 + 2 * 3", 7],
    ["(1 + 2) * 3", 9],
    ["7 - 2 - 1", 4],
    ["8 / 4 / 2", 1],
    ["2 ^ 3 ^ 2", 512],
    ["10 - 2 ^ 2", 6],
    ["-2 ^ 2 + 5", 1],
    ["1 < 2 ? 3 : 4", 3],
    ["2 < 1 ? 3 : 4 > 3 ? 5 : 6", 5],
    ["1 < 2 and 2 < 1 ? 1 : 0", 0],
    ["1 < 2 or 2 < 1 ? 1 : 0", 1],
    ["not (1 < 2) ? 1 : 0", 0],
    ["1 <= 1 and 1 >= 1 and 1 == 1 and 1 != 2 ? 1 : 0", 1],
    ["min(3, 1, 2)", 1],
    ["max(3, 1, 2)", 3],
    ["floor(2.9)", 2],
    ["floor(-0.1) + 2", 1],
    ["abs(-2)", 2],
    ["sqrt(9)", 3],
    ["exp(log(5))", 5],
    ["1e3 / 1.0E2", 10],
    [".5 + 0.5", 1],
  ];
  test.each(cases)("%s is %d", (expression, value) => {
    expectClose(yearly(expression)[0]!, value);
  });
});

describe("names", () => {
  test("a mark is true for the strategies that have it", () => {
    const model = `strategies: { old: { label: Old }, new: { label: New, has: [improved] } }
${collect("improved and time < 2 years ? 1 EUR/year : 0").replace(/^ {4}/gm, "")}`;
    const { cycles } = runCase(model, settings("3 years", "counting: start"));
    expectClose(cycles("collected", { strategy: "old" }), [0, 0, 0]);
    expectClose(cycles("collected", { strategy: "new" }), [1, 1, 0]);
  });

  test("a dot fixes the strategy of an input, of a formula and of what the formula names", () => {
    const outcome = (amount: string): Outcome =>
      runCase(
        `strategies: { old: { label: Old }, new: { label: New, has: [improved] } }
inputs: { loss: { is: change, by: strategy }, extra: { is: change } }
formulas: { lost: "loss + (improved ? extra : 0)" }
${collect(amount).replace(/^ {4}/gm, "")}`,
        `${settings("1 year", "counting: start")}
inputs:
  loss: { by: { old: { fixed: 0.1, why: test }, new: { fixed: 0.2, why: test } }, source: invented }
  extra: { fixed: 0.5, why: test, source: invented }`,
      );
    const both = (amount: string) =>
      ["old", "new"].map((strategy) => outcome(amount).cycles("collected", { strategy })[0]!);
    expectClose(both("1 EUR/year * loss"), [0.1, 0.2]);
    expectClose(both("1 EUR/year * loss.old"), [0.1, 0.1]);
    expectClose(both("1 EUR/year * lost"), [0.1, 0.7]);
    expectClose(both("1 EUR/year * lost.old"), [0.1, 0.1]);
    expectClose(both("1 EUR/year * (lost - lost.old)"), [0, 0.6]);
  });

  test("cells are taken by a dot, by a factor's level, by an attribute and by a choice", () => {
    const at = (amount: string) =>
      runCase(
        `population: { sex: [male, female] }
inputs:
  care: { is: cost, per: year, over: [home, ward] }
  fee: { is: cost, per: year, over: [female, male] }
  price: { is: cost, per: year, by: strategy, over: [home, ward] }
  regimen: { is: choice, of: [short, long] }
  drug: { is: cost, per: year, over: [long, short] }
factors: { place: [ward, home] }
start: { place: { ward: 0.25, home: rest } }
${collect(amount).replace(/^ {4}/gm, "")}`,
        `${settings("1 year", "counting: start")}
population: { cross: { sex: { male: 0.4, female: 0.6 } } }
inputs:
  care: { fixed: { home: 1, ward: 10 }, in: EUR/year, why: test, source: invented }
  fee: { fixed: { male: 100, female: 200 }, in: EUR/year, why: test, source: invented }
  price: { by: { s: { fixed: { home: 3, ward: 4 }, in: EUR/year, why: test } }, source: invented }
  regimen: { chosen: { short: 0.3, long: 0.7 }, source: invented }
  drug: { fixed: { short: 1000, long: 2000 }, in: EUR/year, why: test, source: invented }`,
      );
    expectClose(at("care.home").cycles("collected"), [1]);
    expectClose(at("care[place]").cycles("collected"), [0.25 * 10 + 0.75 * 1]);
    expectClose(at("fee[sex]").cycles("collected"), [0.4 * 100 + 0.6 * 200]);
    expectClose(at("fee[sex]").cycles("collected", { group: "female" }), [200]);
    expectClose(at("price[place]").cycles("collected"), [0.25 * 4 + 0.75 * 3]);
    expectClose(at("price.s.ward").cycles("collected"), [4]);
    expectClose(at("price.s[place]").cycles("collected"), [3.25]);
    // the base value of a choice is its weightiest
    expectClose(at("drug[regimen]").cycles("collected"), [2000]);
    expectClose(at("regimen == short ? care.home : care.ward").cycles("collected"), [10]);
    expectClose(at("place == ward ? 1 EUR/year : 0").cycles("collected"), [0.25]);
    expectClose(at("place != ward ? 1 EUR/year : 0").cycles("collected"), [0.75]);
    expectClose(at("sex == male ? 1 EUR/year : 0").cycles("collected"), [0.4]);
  });

  test("since is the time since the level was entered, at the start of the cycle", () => {
    const { cycles } = runCase(
      `cycle: 1 month
factors: { place: [z, { a: { clock: 4 months } }] }
start: { place: z }
events: { enter: { at: 2 months, then: { place: a } } }
${collect("place == a ? 12 EUR/year * (since(place) / 1 month) : 0").replace(/^ {4}/gm, "")}`,
      settings("9 months", "counting: start"),
    );
    expectClose(cycles("collected"), [0, 0, 0, 1, 2, 3, 4, 4, 4]);
  });

  test("since compares exactly with whole months", () => {
    for (const k of [3, 5, 7, 10]) {
      const { cycles } = runCase(
        `cycle: 1 month
factors: { place: [{ a: { clock: 12 months } }] }
start: { place: a }
${collect(`since(place) < ${k} months ? 12 EUR/year : 0`).replace(/^ {4}/gm, "")}`,
        settings("12 months", "counting: start"),
      );
      expectClose(
        cycles("collected"),
        Array.from({ length: 12 }, (_, c) => (c < k ? 1 : 0)),
      );
    }
  });
});

describe("a formula of an earlier time", () => {
  const model = (amount: string) => `formulas: { rising: "100 * (time / 1 year)" }
${collect(amount).replace(/^ {4}/gm, "")}`;

  test("is shifted, and clipped at 0", () => {
    const { cycles } = runCase(model("1 EUR/year * rising(time - 1 year)"), settings("4 years", "counting: start"));
    expectClose(cycles("collected"), [0, 50, 150, 250]);
  });

  test("is shifted again by the formulas it names", () => {
    const twice = `formulas: { rising: "100 * (time / 1 year)", before: rising(time - 1 year) }
${collect("1 EUR/year * before(time - 6 months)").replace(/^ {4}/gm, "")}`;
    const { cycles } = runCase(twice, settings("4 years", "counting: start"));
    expectClose(cycles("collected"), [0, 0, 100, 200]);
  });

  test("cannot name the number of the cycle, which is not shifted", () => {
    const found = findingsOf(
      `formulas: { early: "cycle < 2 ? 1 : 0", doubled: 2 * early }
${collect("1 EUR/year * doubled(time - 1 year)").replace(/^ {4}/gm, "")}`,
    );
    expect(found).toMatchObject([{ code: "name-misused", path: "accounts.collected.lines.all.amount" }]);
  });

  test("may be shifted by an input, also one with spread", () => {
    const { cycles } = runCase(
      `inputs: { lag: { is: duration } }\n${model("1 EUR/year * rising(time - lag)")}`,
      `${settings("4 years", "counting: start")}\ninputs: { lag: { mean: 24 months, se: 1 month, source: invented } }`,
    );
    expectClose(cycles("collected"), [0, 0, 50, 150]);
  });
});

describe("tables", () => {
  const read = (between: string, expression: string, more = "", evaluate = "middle") =>
    yearly(
      expression,
      `evaluate: ${evaluate}\ntables: { curve: { by: { when: year }, is: number, between: ${between}, beyond: last } }\n${more}`,
      "tables: { curve: { points: [[0, 10], [1, 20], [2, 20], [3, 50]], source: invented } }",
    );

  test("in steps take the row at or below the cycle's opening", () => {
    expectClose(read("step", "curve(time)"), [10, 20, 20, 50]);
    // not that of the middle, half a year on
    expectClose(read("step", "curve(time + 0.75 years)"), [10, 20, 20, 50]);
    expectClose(read("step", "curve(time + 1 year)"), [20, 20, 50, 50]);
  });

  test("in steps take the opening also where a formula stands between", () => {
    expectClose(read("step", "at_age", 'formulas: { age: "time + 0.75 years", at_age: curve(age) }'), [10, 20, 20, 50]);
  });

  test("in lines take the time of the formulas", () => {
    expectClose(read("linear", "curve(time)"), [15, 20, 35, 50]);
    expectClose(read("linear", "curve(time)", "", "start"), [10, 20, 20, 50]);
  });

  test("monotone pass through the rows and never leave their range", () => {
    expectClose(read("monotone", "curve(time)", "", "start"), [10, 20, 20, 50]);
    const [first, second, third] = read("monotone", "curve(time)");
    expect(first).toBeGreaterThan(15);
    expect(first).toBeLessThan(20);
    expectClose(second!, 20);
    expect(third).toBeGreaterThan(20);
    expect(third).toBeLessThan(35);
  });

  test("hold their end rows only where the model says so", () => {
    expectClose(read("step", "curve(time + 10 years)"), [50, 50, 50, 50]);
    const found = findingsOf(
      `tables: { curve: { by: { when: year }, is: number } }\n${collect("1 EUR/year * curve(time)").replace(/^ {4}/gm, "")}`,
      "tables: { curve: { points: [[0, 10], [2, 20]], source: invented } }",
    );
    expect(found).toMatchObject([
      { code: "table-range", message: "table curve has no value at 3", hint: expect.stringContaining("0 to 2") },
    ]);
  });

  test("look levels up by a factor, an attribute and a name", () => {
    const model = `population: { sex: [male, female] }
factors: { weight: [lean, obese] }
start: { weight: { lean: 0.5, obese: 0.5 } }
tables: { risk: { by: { age: year, sex: [female, male], weight: [obese, lean] }, is: ratio, beyond: last } }`;
    const data = `${settings("1 year", "counting: start")}
population: { cross: { sex: { male: 0.5, female: 0.5 } } }
tables: { risk: { file: risk.csv, source: invented } }`;
    const csv = "age,female.obese,female.lean,male.obese,male.lean\n0,1,2,3,4\n50,5,6,7,8\n";
    const long =
      "age,weight,sex,value\n0,obese,female,1\n0,lean,female,2\n0,obese,male,3\n0,lean,male,4\n50,obese,female,5\n50,lean,female,6\n50,obese,male,7\n50,lean,male,8\n";
    for (const text of [csv, long]) {
      const at = (expression: string) =>
        runCase(`${model}\n${collect(`1 EUR/year * ${expression}`).replace(/^ {4}/gm, "")}`, data, {
          "models/tables/risk.csv": text,
        });
      expectClose(at("risk(49 years, sex, weight)").cycles("collected"), [(1 + 2 + 3 + 4) / 4]);
      expectClose(at("risk(50 years, sex, weight)").cycles("collected", { group: "male" }), [7.5]);
      expectClose(at("risk(50 years, male, weight)").cycles("collected"), [7.5]);
      expectClose(at("risk(0, female, lean)").cycles("collected"), [2]);
    }
  });

  test("of probabilities keep the period of the model", () => {
    const { dead } = runCase(
      `cycle: 1 month
tables: { die: { by: { age: year }, is: probability, per: year, beyond: last } }
events: { dying: { rate: hazard_of(die(time)), then: dead } }`,
      `${settings("24 months")}\ntables: { die: { points: [[0, 0.1], [1, 0.2]], source: invented } }`,
    );
    expectClose(dead()[12]!, 0.1);
    expectClose(dead()[24]!, 1 - 0.9 * 0.8);
  });
});

describe("units", () => {
  test("of resources and prices convert by themselves", () => {
    const { total, used } = runCase(
      `inputs:
  visit_time: { is: duration }
  clinic_price: { is: cost, per: minute }
  device_price: { is: cost, of: piece }
  needed: { is: count }
resources:
  clinic_time: { in: minute, price: clinic_price }
  suite_time: { in: hour, price: 60 EUR/hour }
  device: { in: piece, price: device_price, line: device }
events: { visit: { at: 0, uses: { clinic_time: visit_time, suite_time: 90 minutes, device: needed } } }
accounts:
  cost: { in: money, resources: all }
  life_years: { in: year, lines: { alive: { amount: 1 } } }`,
      fixed({ visit_time: "0.5 hours", clinic_price: "2 EUR/minute", device_price: "1450 EUR", needed: 2 }),
    );
    expectClose(total("cost", { line: "clinic_time" }), 60);
    expectClose(total("cost", { line: "suite_time" }), 90);
    expectClose(total("cost", { line: "device" }), 2900);
    expectClose(used("device")[0]!, 2);
    expectClose(used("clinic_time")[0]! * 525_960, 30);
  });

  test("of costs per time convert to the year", () => {
    const { total } = runCase(
      `inputs: { rent: { is: cost, per: month }, nursing: { is: cost, per: day } }\n${collect("rent + nursing").replace(/^ {4}/gm, "")}`,
      `${settings("1 year")}\n${fixed({ rent: "100 EUR/month", nursing: "2 EUR/day" })}`,
    );
    expectClose(total("collected"), 1200 + 730.5);
  });

  test("of rates convert to the year", () => {
    const { dead } = runCase(
      "inputs: { die: { is: rate, per: month } }\nevents: { dying: { rate: die, then: dead } }",
      `${settings("1 year")}\n${fixed({ die: "0.01 / month" })}`,
    );
    expectClose(dead()[1]!, 1 - Math.exp(-0.12));
  });

  test("of lengths and masses make an index", () => {
    const bmi = "mass / size ^ 2 / (1 kg/m2)";
    const [value] = yearly(
      bmi,
      "inputs: { mass: { is: number, in: kg }, size: { is: number, in: m } }",
      `${settings("1 year", "counting: start")}\n${fixed({ mass: "81000 g", size: "180 cm" })}`,
    );
    expectClose(value!, 25);
  });
});

describe("kinds", () => {
  test("a relative risk keeps the period of the probability, which converts where it is used", () => {
    const { dead } = runCase(
      `cycle: 1 month
inputs: { die: { is: probability, per: year }, ratio: { is: relative_risk } }
events: { dying: { chance: die * ratio, then: dead } }`,
      `${settings("12 months")}\n${fixed({ die: 0.36, ratio: 0.5 })}`,
    );
    expectClose(dead()[12]!, 0.18);
  });

  test("a hazard ratio acts on the hazard", () => {
    const { dead } = runCase(
      `inputs: { die: { is: probability, per: 5 years }, ratio: { is: hazard_ratio } }
events: { dying: { rate: hazard_of(die) * ratio, then: dead } }`,
      `${settings("5 years")}\n${fixed({ die: 0.36, ratio: 0.5 })}`,
    );
    expectClose(dead()[5]!, 1 - Math.sqrt(0.64));
  });

  test("chance_of gives the probability of a rate in a cycle", () => {
    const { dead } = runCase(
      "cycle: 6 months\nevents: { dying: { chance: chance_of(0.2 / year), then: dead } }",
      settings("1 year"),
    );
    expectClose(dead()[1]!, 1 - Math.exp(-0.1));
  });

  test("with_odds applies an odds ratio", () => {
    const { dead } = runCase(
      "inputs: { die: { is: probability, per: year }, odds: { is: odds_ratio } }\nevents: { dying: { chance: 'with_odds(die, odds)', then: dead } }",
      fixed({ die: 0.2, odds: 3 }),
    );
    // odds 0.25 times 3 are 0.75, a probability of 3/7
    expectClose(dead()[1]!, 3 / 7);
  });

  test("a certain probability is a finite hazard that leaves nobody", () => {
    const { dead } = runCase(
      "inputs: { die: { is: probability, per: year } }\nevents: { dying: { rate: hazard_of(die), then: dead } }",
      fixed({ die: 1 }),
    );
    expectClose(dead()[1]!, 1);
  });

  test("a ratio per unit is raised to a quantity in that unit", () => {
    const value = (per: string, exponent: string, ratio: number) =>
      yearly(
        `ratio ^ (${exponent})`,
        `inputs: { ratio: { is: ratio, per: ${per} }, bmi: { is: number, in: kg/m2 } }`,
        `${settings("1 year", "counting: start")}\n${fixed({ ratio, bmi: "35 kg/m2" })}`,
      )[0]!;
    expectClose(value("kg/m2", "bmi - 25 kg/m2", 1.1), 1.1 ** 10);
    expectClose(value("5 kg/m2", "bmi - 25 kg/m2", 1.21), 1.21 ** 2);
    expectClose(value("kg/m2", "25 kg/m2 - bmi", 1.1), 1.1 ** -10);
    expectClose(value("month", "1 year", 1.1), 1.1 ** 12);
  });
});

describe("groups", () => {
  const model = `population: { risk: { is: number }, sex: [male, female] }
inputs: { die: { is: rate, per: year } }
events: { dying: { rate: "die * risk * (sex == male ? 2 : 1)", then: dead } }
curves: { risk: { of: risk * (1 + time / 1 year) } }`;
  const alone = (risk: number, sex: string) =>
    runCase(model, `population: { all: { risk: ${risk}, sex: ${sex} } }\n${fixed({ die: "0.1 / year" })}`);

  test("are run one by one and mixed by their shares", () => {
    const { total, dead } = runCase(
      model,
      `population: { cross: { sex: { male: 0.4, female: 0.6 }, level: [{ share: 0.25, risk: 1 }, { share: 0.75, risk: 3 }] } }\n${fixed({ die: "0.1 / year" })}`,
    );
    const parts = [
      [0.1, alone(1, "male")],
      [0.3, alone(3, "male")],
      [0.15, alone(1, "female")],
      [0.45, alone(3, "female")],
    ] as const;
    expectClose(
      total("life_years"),
      parts.reduce((sum, [share, outcome]) => sum + share * outcome.total("life_years"), 0),
    );
    expectClose(
      dead()[4]!,
      parts.reduce((sum, [share, outcome]) => sum + share * outcome.dead()[4]!, 0),
    );
    // which is not the result of the mean risk
    const mean = alone(0.25 + 0.75 * 3, "male").total("life_years");
    expect(Math.abs(mean - total("life_years"))).toBeGreaterThan(0.05);
  });

  test("may be named one by one", () => {
    const { total } = runCase(
      model,
      `population: { groups: { one: { share: 25%, risk: 1, sex: male }, two: { share: 75%, risk: 3, sex: female } } }\n${fixed({ die: "0.1 / year" })}`,
    );
    expectClose(
      total("life_years"),
      0.25 * alone(1, "male").total("life_years") + 0.75 * alone(3, "female").total("life_years"),
    );
  });
});

describe("curves", () => {
  test("are means of the living at each boundary", () => {
    const { curve } = runCase(
      `factors: { weight: [lean, obese] }
start: { weight: { lean: 0.5, obese: 0.5 } }
inputs: { bmi: { is: number, in: kg/m2, over: [lean, obese] } }
events: { dying: { while: { weight: obese }, chance: 0.5, then: dead } }
curves: { bmi: { of: "bmi[weight] * (1 + time / 10 years)" } }`,
      `${settings("2 years")}\ninputs: { bmi: { fixed: { lean: 20, obese: 40 }, in: kg/m2, why: test, source: invented } }`,
    );
    expectClose(curve("bmi"), [30, (1.1 * (0.5 * 20 + 0.25 * 40)) / 0.75, (1.2 * (0.5 * 20 + 0.125 * 40)) / 0.625]);
  });

  test("end where nobody lives", () => {
    const { curve } = runCase(
      "events: { dying: { at: 1 year, then: dead } }\ncurves: { one: { of: 1 } }",
      settings("2 years"),
    );
    expectClose(curve("one"), [1, Number.NaN, Number.NaN]);
  });
});

describe("the start", () => {
  test("shares out each factor independently, the rest going where it says", () => {
    const { share } = runCase(
      `inputs: { prevalence: { is: share } }
factors: { diabetes: [no, yes], place: [home, ward, hospice] }
start: { diabetes: { yes: prevalence, no: rest }, place: { home: 0.5, ward: 0.2, hospice: rest } }`
        .replaceAll("no,", "absent,")
        .replaceAll("no:", "absent:")
        .replaceAll("yes", "present"),
      fixed({ prevalence: 0.3 }),
    );
    expectClose(share({ diabetes: "present", place: "ward" })[0]!, 0.06);
    expectClose(share({ diabetes: "absent", place: "hospice" })[0]!, 0.21);
  });

  test("that does not sum to 1 is refused", () => {
    const found = findingsOf("factors: { place: [a, b] }\nstart: { place: { a: 0.5, b: 0.4 } }");
    expect(found).toMatchObject([{ code: "shares-sum" }]);
  });

  test("cannot depend on the level of another factor", () => {
    const found = findingsOf(
      'factors: { place: [a, b], mood: [well, ill] }\nstart: { place: { a: 0.5, b: 0.5 }, mood: { well: "place == a ? 0.2 : 0.7", ill: rest } }',
    );
    expect(found.map(({ code }) => code)).toEqual(["name-misused"]);
  });
});

describe("alternatives", () => {
  test("take the weightiest variant as base value", () => {
    const at = (weights: string) =>
      runCase(
        `formulas: { shape: { alternatives: { flat: 2, steep: "1 + cycle" } } }\n${collect("1 EUR/year * shape").replace(/^ {4}/gm, "")}`,
        `${settings("3 years", "counting: start")}\nalternatives: { shape: { ${weights}, why: two schools } }`,
      ).cycles("collected");
    expectClose(at("flat: 0.7, steep: 0.3"), [2, 2, 2]);
    expectClose(at("flat: 0.4, steep: 0.6"), [1, 2, 3]);
  });
});
