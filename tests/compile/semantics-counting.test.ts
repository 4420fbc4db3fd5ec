import { describe, expect, test } from "vitest";
import { findingsOf, fixed, type Outcome, runCase } from "../case.ts";
import { expectClose } from "../close.ts";

// How amounts are counted and discounted.

const settings = (horizon: string, more = "") =>
  `settings: { money: { unit: EUR }, horizon: ${horizon}, effect: life_years${more === "" ? "" : `, ${more}`} }`;

const sum = (list: readonly number[]) => list.reduce((total, x) => total + x, 0);

// Survival under a constant hazard in yearly cycles. Source: closed forms of sums and integrals of exp(-h t), for the
// counting rules of Elbasha and Chhatwal, PharmacoEconomics 2016;34:1115-1131 (rules from memory, values constructed).
const survival = [
  {
    hazard: 0.2,
    years: 20,
    exact: 4.908421805556329,
    start: 5.415614494904286,
    end: 4.433930133793021,
    trapezoid: 4.924772314348653,
    simpson: 4.908465229077546,
    discounted: {
      exact: 4.3120066194775415,
      trapezoid: 4.330925914450611,
      simpson: 4.312072729100878,
      meanTimesEnd: 4.260646466122508,
      meanTimesMiddle: 4.324083898187069,
    },
  },
  {
    hazard: 0.05,
    years: 40,
    exact: 17.293294335267746,
    start: 17.729229313196154,
    end: 16.864564596432764,
    trapezoid: 17.29689695481446,
    simpson: 17.29329493555069,
    discounted: {
      exact: 12.04784406149889,
      trapezoid: 12.054198230380186,
      simpson: 12.047846741053547,
      meanTimesEnd: 11.871672197584898,
      meanTimesMiddle: 12.04843138296092,
    },
  },
];

describe.each(survival)("exponential survival, hazard $hazard over $years years", (known) => {
  const counted = (counting: string): Outcome =>
    runCase(
      "inputs: { die: { is: rate, per: year } }\nevents: { dying: { rate: die, then: dead } }",
      `${settings(`${known.years} years`, `discount: { effects: 3% / year }, counting: ${counting}`)}\n${fixed({ die: `${known.hazard} / year` })}`,
    );
  const undiscounted = (counting: string): number => sum(counted(counting).cycles("life_years"));

  test.each([
    ["start", known.start],
    ["end", known.end],
    ["trapezoid", known.trapezoid],
    ["middle", known.trapezoid],
    ["simpson", known.simpson],
    ["{ weights: { first: 1/3, repeat: [4/3, 2/3], last: 1/3 } }", known.simpson],
    ["{ weights: { first: 1, repeat: [1], last: 0 } }", known.start],
    ["{ weights: { first: 0, repeat: [1], last: 1 } }", known.end],
    ["{ weights: { first: 0.5, repeat: [1], last: 0.5 } }", known.trapezoid],
    [`{ weights: [${["1/2", ...Array(known.years - 1).fill("1"), "1/2"].join(", ")}] }`, known.trapezoid],
  ])("counted by %s", (counting, expected) => {
    expectClose(undiscounted(counting), expected);
  });

  test("life years of the trace are those of the account", () => {
    for (const counting of ["start", "end", "middle", "simpson"]) {
      const outcome = counted(counting);
      expectClose(sum([...outcome.traced[0]![0]!.lifeYears]), sum(outcome.cycles("life_years")));
    }
  });

  test.each([
    ["trapezoid", known.discounted.trapezoid],
    ["simpson", known.discounted.simpson],
    ["middle", known.discounted.meanTimesMiddle],
  ])("discounted and counted by %s", (counting, expected) => {
    expectClose(counted(counting).total("life_years"), expected);
  });

  test("the trapezoid is the half-sum of start and end, discounted or not", () => {
    const both = (counted("start").total("life_years") + counted("end").total("life_years")) / 2;
    expectClose(counted("trapezoid").total("life_years"), both);
  });

  test("mean membership times the end's discount follows from the trace", () => {
    const { share } = counted("middle");
    const alive = share({});
    const total = alive.slice(1).reduce((all, y, c) => all + ((alive[c]! + y) / 2) * 1.03 ** -(c + 1), 0);
    expectClose(total, known.discounted.meanTimesEnd);
  });

  test("Simpson's rule comes closest to the integral", () => {
    const error = (counting: string, exact: number, total: number) => ({ counting, off: Math.abs(total - exact) });
    const rules = ["start", "end", "trapezoid", "middle", "simpson"];
    const order = (errors: readonly { counting: string; off: number }[]) =>
      [...errors].sort((a, b) => a.off - b.off)[0]!.counting;
    expect(order(rules.map((rule) => error(rule, known.exact, undiscounted(rule))))).toBe("simpson");
    const { exact } = known.discounted;
    expect(order(rules.map((rule) => error(rule, exact, counted(rule).total("life_years"))))).toBe("simpson");
  });
});

describe("counting by cycle", () => {
  const flow = (counting: string, evaluate = "middle") =>
    runCase(
      `
      evaluate: ${evaluate}
      accounts:
        cost: { in: money, lines: { rising: { amount: 10 EUR/year * (time / 1 year) } } }
        life_years: { in: year, lines: { alive: { amount: 1 } } }
      `,
      settings("4 years", `counting: ${counting}`),
    );

  test("holds a formula for the cycle, taken at its middle", () => {
    for (const counting of ["start", "end", "middle", "trapezoid"])
      expectClose(flow(counting).cycles("cost"), [5, 15, 25, 35]);
  });

  test("holds a formula for the cycle, taken at its start where the model says so", () => {
    for (const counting of ["start", "end", "middle", "trapezoid"])
      expectClose(flow(counting, "start").cycles("cost"), [0, 10, 20, 30]);
  });

  test("weights opening and closing membership of each level", () => {
    const ward = (counting: string) =>
      runCase(
        `
        factors: { place: [home, ward] }
        start: { place: home }
        events: { admission: { while: { place: home }, chance: 0.5, then: { place: ward } } }
        accounts:
          cost: { in: money, lines: { ward: { while: { place: ward }, amount: 100 EUR/year } } }
          life_years: { in: year, lines: { alive: { amount: 1 } } }
        `,
        settings("3 years", `counting: ${counting}`),
      ).cycles("cost");
    expectClose(ward("start"), [0, 50, 75]);
    expectClose(ward("end"), [50, 75, 87.5]);
    expectClose(ward("middle"), [25, 62.5, 81.25]);
    expectClose(ward("trapezoid"), [25, 62.5, 81.25]);
  });

  test("takes the opening after instants and the closing before the next", () => {
    const { cycles } = runCase(
      `
      factors: { place: [home, ward] }
      start: { place: home }
      events: { admission: { at: 1 year, then: { place: ward } } }
      accounts:
        cost: { in: money, lines: { ward: { while: { place: ward }, amount: 100 EUR/year } } }
        life_years: { in: year, lines: { alive: { amount: 1 } } }
      `,
      settings("3 years"),
    );
    expectClose(cycles("cost"), [0, 100, 100]);
  });

  test("counts by the length of a cycle", () => {
    const { total } = runCase("cycle: 1 month", settings("18 months"));
    expectClose(total("life_years"), 1.5);
  });
});

describe("counting by boundary", () => {
  const model = `
    accounts:
      cost: { in: money, lines: { cubed: { amount: 1 EUR/year * (time / 1 year) ^ 3 } } }
      life_years: { in: year, lines: { alive: { amount: 1 } } }
  `;

  test("takes formulas at the boundary: Simpson's rule is exact on a cubic", () => {
    expectClose(runCase(model, settings("4 years", "counting: simpson")).total("cost"), 64);
  });

  test("takes formulas at the boundary with weights", () => {
    const { total } = runCase(model, settings("3 years", "counting: { weights: [0, 1, 1/2, 1/3] }"));
    expectClose(total("cost"), 1 + 8 / 2 + 27 / 3);
  });

  test("counts a rate that moves nobody like an amount", () => {
    const { events } = runCase(
      "events: { visit: { rate: 3 * (time / 1 year) ^ 3 / year } }",
      settings("4 years", "counting: simpson"),
    );
    expectClose(sum(events("visit")), 3 * 64);
  });

  test("counts what happens once as often as it happens", () => {
    const { cycles } = runCase(
      `
      events: { start: { at: 0 }, dying: { chance: 0.5, then: dead } }
      accounts:
        cost: { in: money, lines: { start: { on: start, amount: 7 EUR }, funeral: { on: dying, amount: 8 EUR } } }
        life_years: { in: year, lines: { alive: { amount: 1 } } }
      `,
      settings("2 years", "counting: simpson"),
    );
    expectClose(cycles("cost"), [11, 2]);
  });

  test("by Simpson's rule is refused on an odd number of cycles", () => {
    expect(findingsOf("", settings("5 years", "counting: simpson"))).toMatchObject([
      {
        code: "simpson-refused",
        path: "settings.counting",
        message: expect.stringContaining("5 cycles are an odd number"),
      },
    ]);
  });

  test.each([["at: 1 year"], ["at: [0, 2 years]"], ["every: 1 year"], ["at: late"]])(
    "by Simpson's rule is refused with an instant after the start (%s)",
    (when) => {
      const found = findingsOf(
        `inputs: { late: { is: duration } }\nevents: { visit: { ${when} } }`,
        `${settings("4 years", "counting: simpson")}\n${fixed({ late: "1 year" })}`,
      );
      expect(found.map(({ code }) => code)).toEqual(["simpson-refused"]);
    },
  );

  test("by Simpson's rule is allowed with an instant at the start, in any unit", () => {
    for (const when of ["0", "0 years", "0 months"]) {
      const { total } = runCase(`events: { visit: { at: ${when} } }`, settings("4 years", "counting: simpson"));
      expectClose(total("life_years"), 4);
    }
  });

  test("needs as many weights as boundaries", () => {
    expect(findingsOf("", settings("3 years", "counting: { weights: [1, 1, 1] }"))).toMatchObject([
      { code: "weights-length", path: "settings.counting.weights" },
    ]);
  });
});

describe("discounting", () => {
  const model = `
    cycle: 6 months
    factors: { place: [{ ward: { lasts: 1 year, then: home } }, home] }
    start: { place: ward }
    events:
      admission: { at: 0 }
      check: { at: 1 year }
      scan: { chance: 1 }
      discharge: { ends: { place: ward } }
    accounts:
      cost:
        in: money
        lines:
          flow: { amount: 2 EUR/year }
          admission: { on: admission, amount: 1 EUR }
          check: { on: check, amount: 1 EUR }
          scan: { on: scan, amount: 1 EUR }
          discharge: { on: discharge, amount: 1 EUR }
      life_years: { in: year, lines: { alive: { amount: 1 } } }
      undiscounted: { in: year, discount: none, lines: { alive: { amount: 1 } } }
      checks: { count: check }
  `;
  const run = (more: string) =>
    runCase(model, settings("2 years", `discount: { costs: 10% / year, effects: 5% / year${more}`));
  const v = (years: number) => 1.1 ** -years;

  test("takes exact times: the middle of a cycle, the instant, the end of a level", () => {
    const { total } = run(" }");
    expectClose(total("cost", { line: "flow" }), v(0.25) + v(0.75) + v(1.25) + v(1.75));
    expectClose(total("cost", { line: "admission" }), 1);
    expectClose(total("cost", { line: "check" }), v(1));
    expectClose(total("cost", { line: "scan" }), v(0.25) + v(0.75) + v(1.25) + v(1.75));
    expectClose(total("cost", { line: "discharge" }), v(1));
  });

  test("takes costs and effects at their own rates; counts and accounts that say so at none", () => {
    const { total } = run(" }");
    const u = (years: number) => 1.05 ** -years / 2;
    expectClose(total("life_years"), u(0.25) + u(0.75) + u(1.25) + u(1.75));
    expectClose(total("undiscounted"), 2);
    expectClose(total("checks"), 1);
  });

  test("by whole years steps at each full year; the end of a cycle belongs to the year just ended", () => {
    const { total } = run(", timing: whole years }");
    expectClose(total("cost", { line: "flow" }), 2 + 2 / 1.1);
    // the visit at 12 months opens the second year; the level that ends at 12 months closes the first
    expectClose(total("cost", { line: "check" }), 1 / 1.1);
    expectClose(total("cost", { line: "discharge" }), 1);
    const closing = run(", timing: whole years }, counting: end");
    expectClose(closing.total("cost", { line: "flow" }), 2 + 2 / 1.1);
    expectClose(closing.total("cost", { line: "scan" }), 2 + 2 / 1.1);
  });

  test.each([
    ["start", 0],
    ["middle", 0.25],
    ["end", 0.5],
  ])("takes rates and chances at the %s of a cycle where events_at says so", (at, offset) => {
    const { total } = run(` }, events_at: ${at}`);
    expectClose(total("cost", { line: "scan" }), v(offset) + v(0.5 + offset) + v(1 + offset) + v(1.5 + offset));
    // instants and ends keep their own time
    expectClose(total("cost", { line: "check" }), v(1));
    expectClose(total("cost", { line: "discharge" }), v(1));
  });

  test.each([
    ["start", 0],
    ["end", 0.5],
    ["middle", 0.25],
    ["trapezoid", 0.25],
    ["{ weights: { first: 1, repeat: [1], last: 0 } }", 0.25],
  ])("takes rates and chances where the counting rule %s does, unless told", (counting, offset) => {
    const { total } = run(` }, counting: ${counting}`);
    expectClose(total("cost", { line: "scan" }), v(offset) + v(0.5 + offset) + v(1 + offset) + v(1.5 + offset));
  });

  test("compounds rates that step after given years", () => {
    const { total } = runCase(
      "",
      settings(
        "4 years",
        "counting: end, discount: { effects: [{ rate: 4% / year }, { after: 2 years, rate: 1% / year }] }",
      ),
    );
    expectClose(total("life_years"), 1 / 1.04 + 1 / 1.04 ** 2 + 1 / (1.04 ** 2 * 1.01) + 1 / (1.04 ** 2 * 1.01 ** 2));
  });

  test("steps in the middle of a cycle", () => {
    const { total } = runCase(
      "",
      settings(
        "2 years",
        "counting: end, discount: { effects: [{ rate: 4% / year }, { after: 18 months, rate: 1% / year }] }",
      ),
    );
    expectClose(total("life_years"), 1 / 1.04 + 1 / (1.04 ** 1.5 * 1.01 ** 0.5));
  });

  test("reads a rate of any period as yearly only where it is written so", () => {
    for (const rate of ["3% / year", "3%", "0.03", "0.03 / year"])
      expectClose(
        runCase("", settings("1 year", `counting: end, discount: { effects: ${rate} }`)).total("life_years"),
        1 / 1.03,
      );
  });

  test("at nothing changes nothing", () => {
    const { total, cycles } = runCase(model, settings("2 years", "discount: { costs: 0% / year }"));
    expectClose(total("cost"), sum(cycles("cost")));
  });
});
