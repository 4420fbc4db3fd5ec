import { describe, expect, test } from "vitest";
import { findingsOf, fixed, runCase } from "../case.ts";
import { expectClose } from "../close.ts";

// What happens in a cycle. Expected numbers are worked out by hand from the rules of the language, beside each test.

const settings = (horizon: string, more = "") =>
  `settings: { money: { unit: EUR }, horizon: ${horizon}, effect: life_years${more === "" ? "" : `, ${more}`} }`;

describe("the four steps of a cycle", () => {
  test("come in order: instants, rates, chances, ends of levels", () => {
    const { share } = runCase(`
      factors: { place: [a, { b: { lasts: 1 year, then: c } }, c, d, e] }
      start: { place: a }
      events:
        by_chance: { while: { place: b }, chance: 0.5, then: { place: e } }
        by_rate: { while: { place: b }, rate: 0.7 / year, then: { place: d } }
        at_start: { at: 0, while: { place: a }, then: { place: b } }
    `);
    // the instant moves all from a to b; the rate takes 1 - exp(-0.7); the chance half of the rest; the others' level ends
    const left = Math.exp(-0.7);
    expectClose(share({ place: "a" }), [0, 0, 0, 0, 0]);
    expectClose(share({ place: "b" }), [1, 0, 0, 0, 0]);
    expectClose(share({ place: "d" })[1]!, 1 - left);
    expectClose(share({ place: "e" })[1]!, left / 2);
    expectClose(share({ place: "c" })[1]!, left / 2);
  });

  test("let a person make at most one move by rates and chances", () => {
    const { share } = runCase(`
      factors: { place: [a, b, c, d] }
      start: { place: a }
      events:
        first: { while: { place: a }, rate: 1 / year, then: { place: b } }
        second: { while: { place: b }, rate: 1 / year, then: { place: c } }
        third: { while: { place: [a, b] }, chance: 0.5, then: { place: d } }
    `);
    const left = Math.exp(-1);
    // those who arrive in b by a rate meet neither its rate nor its chance before the next cycle
    expectClose(share({ place: "b" })[1]!, 1 - left);
    expectClose(share({ place: "c" })[1]!, 0);
    expectClose(share({ place: "d" })[1]!, left / 2);
    expectClose(share({ place: "c" })[2]!, (1 - left) * (1 - left));
  });

  test("never move anybody at the last boundary by an instant", () => {
    const { share, events } = runCase(`
      factors: { place: [a, b] }
      start: { place: a }
      events:
        late: { at: 4 years, then: { place: b } }
        yearly: { every: 1 year }
    `);
    expectClose(share({ place: "b" }), [0, 0, 0, 0, 0]);
    expectClose(events("late"), [0, 0, 0, 0]);
    expectClose(events("yearly"), [1, 1, 1, 1]);
  });
});

describe("instants", () => {
  test("see what an earlier one of the same boundary did, in file order", () => {
    const { share } = runCase(`
      factors: { place: [a, b, c] }
      start: { place: a }
      events:
        one: { at: 0, while: { place: a }, chance: 0.25, then: { place: b } }
        two: { at: 0, while: { place: b }, chance: 0.5, then: { place: c } }
        three: { at: 0, while: { place: c }, chance: 0.5, then: { place: a } }
    `);
    expectClose(share({ place: "a" })[0]!, 0.75 + 0.0625);
    expectClose(share({ place: "b" })[0]!, 0.125);
    expectClose(share({ place: "c" })[0]!, 0.0625);
  });

  test("apply one form of an event to a person, even where its move makes another form fit", () => {
    const { share, events } = runCase(`
      factors: { place: [a, b, c] }
      start: { place: { a: 0.6, b: 0.4 } }
      events:
        step:
          at: 0
          cases:
            - { while: { place: a }, then: { place: b } }
            - { while: { place: b }, then: { place: c } }
    `);
    expectClose(share({ place: "b" })[0]!, 0.6);
    expectClose(share({ place: "c" })[0]!, 0.4);
    expectClose(events("step"), [1, 0, 0, 0]);
  });

  test("are recorded in the opening membership", () => {
    const { share } = runCase(`
      factors: { place: [a, b] }
      start: { place: a }
      events: { move: { at: 2 years, then: { place: b } } }
    `);
    expectClose(share({ place: "b" }), [0, 0, 1, 1, 1]);
  });

  test("may depend on strategy and group", () => {
    const { share } = runCase(
      `
      strategies: { early: { label: Early, has: [soon] }, late: { label: Late } }
      population: { wait: { is: duration } }
      inputs: { delay: { is: duration } }
      factors: { place: [a, b] }
      start: { place: a }
      events: { move: { at: "(soon ? 0 years : delay) + wait", then: { place: b } } }
      `,
      `
      population: { groups: { quick: { share: 0.25, wait: 0 years }, slow: { share: 0.75, wait: 1 year } } }
      inputs: { delay: { fixed: 2 years, why: protocol, source: invented } }
      `,
    );
    expectClose(share({ place: "b" }, { strategy: "early", group: "quick" }), [1, 1, 1, 1, 1]);
    expectClose(share({ place: "b" }, { strategy: "early", group: "slow" }), [0, 1, 1, 1, 1]);
    expectClose(share({ place: "b" }, { strategy: "late", group: "slow" }), [0, 0, 0, 1, 1]);
    expectClose(share({ place: "b" }, { strategy: "late" }), [0, 0, 0.25, 1, 1]);
  });

  test("repeat with every, from and until, both included", () => {
    const { events } = runCase(
      `
      cycle: 1 month
      events:
        plain: { every: 3 months }
        bounded: { every: 2 months, from: 3 months, until: 7 months }
      `,
      settings("9 months"),
    );
    expectClose(events("plain"), [1, 0, 0, 1, 0, 0, 1, 0, 0]);
    expectClose(events("bounded"), [0, 0, 0, 1, 0, 1, 0, 1, 0]);
  });

  test("over a list with shares take each share of those who start", () => {
    const { share } = runCase(
      `
      inputs: { out: { is: share, over: [at_once, after_1, after_3] } }
      factors: { place: [inside, out_of] }
      start: { place: inside }
      events: { removal: { at: [0, 1 year, 3 years], shares: out, while: { place: inside }, then: { place: out_of } } }
      `,
      "inputs: { out: { fixed: { at_once: 0.2, after_1: 0.3, after_3: 0.5 }, why: by construction, source: invented } }",
    );
    expectClose(share({ place: "out_of" }), [0.2, 0.5, 0.5, 1, 1]);
  });

  test("over a list with shares leave the proportions to those still there", () => {
    const { share, dead } = runCase(
      `
      inputs: { out: { is: share, over: [first, second] } }
      factors: { place: [inside, out_of] }
      start: { place: inside }
      events:
        removal: { at: [1 year, 2 years], shares: out, while: { place: inside }, then: { place: out_of } }
        dying: { chance: 0.1, then: dead }
      `,
      "inputs: { out: { fixed: { first: 0.25, second: 0.75 }, why: by construction, source: invented } }",
    );
    expectClose(share({ place: "out_of" }), [0, 0.9 * 0.25, 0.81, 0.729, 0.6561]);
    expectClose(dead(), [0, 0.1, 0.19, 0.271, 0.3439]);
  });
});

describe("a level that lasts", () => {
  // occupied at the boundaries from entry on, as often as it lasts
  const occupied = (list: readonly number[]) => list.filter((share) => share > 0).length;

  test("is occupied for exactly as many cycles from the start", () => {
    const { share } = runCase(
      "factors: { place: [{ a: { lasts: 3 years, then: b } }, b] }\nstart: { place: a }",
      settings("6 years"),
    );
    expectClose(share({ place: "a" }), [1, 1, 1, 0, 0, 0, 0]);
  });

  test("is occupied for exactly as many cycles when entered by an instant", () => {
    const { share } = runCase(
      `
      factors: { place: [z, { a: { lasts: 3 years, then: b } }, b] }
      start: { place: z }
      events: { enter: { at: 2 years, then: { place: a } } }
      `,
      settings("8 years"),
    );
    expectClose(share({ place: "a" }), [0, 0, 1, 1, 1, 0, 0, 0, 0]);
  });

  test("is occupied for exactly as many cycles when entered by a rate or a chance", () => {
    for (const how of ["chance: 0.5", "rate: 0.7 / year"]) {
      const { state, share } = runCase(
        `
        factors: { place: [z, { a: { lasts: 3 years, then: b } }, b] }
        start: { place: z }
        events: { enter: { while: { place: z }, ${how}, then: { place: a } } }
        `,
        settings("8 years"),
      );
      const stay = how.startsWith("chance") ? 0.5 : Math.exp(-0.7);
      // the cohort that enters in cycle c (in the closing membership c + 1) is in the level's years 1, 2, 3 and leaves
      const entered = (c: number) => (c < 0 ? 0 : stay ** c * (1 - stay));
      for (const year of [1, 2, 3]) {
        expectClose(
          state(`a.${year}`),
          Array.from({ length: 9 }, (_, c) => entered(c - year)),
        );
      }
      const left = Array.from({ length: 9 }, (_, c) => (c < 4 ? 0 : 1 - stay ** (c - 3)));
      expectClose(share({ place: "b" }), left);
    }
  });

  test("is occupied for exactly as many cycles when entered at another level's end", () => {
    const { share } = runCase(
      `
      factors: { place: [{ a: { lasts: 2 years, then: b } }, { b: { lasts: 3 years, then: a } }] }
      start: { place: a }
      `,
      settings("8 years"),
    );
    expectClose(share({ place: "a" }), [1, 1, 0, 0, 0, 1, 1, 0, 0]);
  });

  test("lasts as long when another factor's event moves the person meanwhile", () => {
    const { share } = runCase(
      `
      factors: { place: [{ a: { lasts: 3 years, then: b } }, b], mood: [well, ill] }
      start: { place: a, mood: well }
      events:
        falling_ill: { while: { mood: well }, chance: 0.5, then: { mood: ill } }
        recovering: { while: { mood: ill }, rate: 0.3 / year, then: { mood: well } }
      `,
      settings("6 years"),
    );
    expectClose(share({ place: "a" }), [1, 1, 1, 0, 0, 0, 0]);
    expectClose(share({ mood: "ill" })[1]!, 0.5);
  });

  test("may last differently by strategy", () => {
    const { share } = runCase(
      `
      strategies: { short: { label: Short }, long: { label: Long } }
      inputs: { dwell: { is: duration, by: strategy } }
      factors: { place: [{ a: { lasts: dwell, then: b } }, b] }
      start: { place: a }
      `,
      "inputs: { dwell: { by: { short: { fixed: 1 year, why: label }, long: { fixed: 3 years, why: label } }, source: invented } }",
    );
    expect(occupied(share({ place: "a" }, { strategy: "short" }))).toBe(1);
    expect(occupied(share({ place: "a" }, { strategy: "long" }))).toBe(3);
  });

  test("begins anew where an event moves to the level already held", () => {
    const { share } = runCase(
      `
      factors: { place: [{ a: { lasts: 3 years, then: b } }, b] }
      start: { place: a }
      events: { renewal: { at: 2 years, while: { place: a }, then: { place: a } } }
      `,
      settings("8 years"),
    );
    expectClose(share({ place: "a" }), [1, 1, 1, 1, 1, 0, 0, 0, 0]);
  });

  test("counts a move to the level already held as the one move of the cycle", () => {
    const { share, events } = runCase(`
      factors: { place: [{ a: { lasts: 2 years, then: b } }, b], mood: [well, ill] }
      start: { place: a, mood: well }
      events:
        renewal: { while: { place: a }, chance: 1, then: { place: a } }
        falling_ill: { while: { mood: well }, chance: 1, then: { mood: ill } }
    `);
    expectClose(share({ place: "a" }), [1, 1, 1, 1, 1]);
    expectClose(events("renewal"), [1, 1, 1, 1]);
    expectClose(events("falling_ill"), [0, 0, 0, 0]);
  });
});

describe("the end of a level", () => {
  test("fires its event at the end of the cycle, before the level goes where it leads", () => {
    const { share, events, total } = runCase(
      `
      factors: { place: [{ a: { lasts: 2 years, then: b } }, b, c] }
      start: { place: a }
      events: { removal: { ends: { place: a }, one_of: { hurt: { chance: 0.25, then: { place: c } }, plain: { rest: true } } } }
      accounts:
        cost: { in: money, lines: { removal: { on: removal, amount: 100 EUR } } }
        life_years: { in: year, lines: { alive: { amount: 1 } } }
      `,
      settings("4 years", "discount: { costs: 10% / year }"),
    );
    expectClose(share({ place: "a" }), [1, 1, 0, 0, 0]);
    expectClose(share({ place: "b" }), [0, 0, 0.75, 0.75, 0.75]);
    expectClose(share({ place: "c" }), [0, 0, 0.25, 0.25, 0.25]);
    expectClose(events("removal"), [0, 1, 0, 0]);
    expectClose(events("removal.hurt"), [0, 0.25, 0, 0]);
    // at the end of the second year
    expectClose(total("cost"), 100 / 1.1 ** 2);
  });

  test("comes after rates and chances, and only for those still there", () => {
    const { events, share } = runCase(`
      factors: { place: [{ a: { lasts: 1 year, then: b } }, b, c] }
      start: { place: a }
      events:
        leaving: { while: { place: a }, chance: 0.5, then: { place: c } }
        removal: { ends: { place: a } , then: { place: b } }
    `);
    expectClose(events("removal"), [0.5, 0, 0, 0]);
    expectClose(share({ place: "c" })[1]!, 0.5);
    expectClose(share({ place: "b" })[1]!, 0.5);
  });

  test("lets events of one end follow each other in file order", () => {
    const { events, share } = runCase(`
      factors: { place: [{ a: { lasts: 1 year, then: b } }, b, c], scar: [no_scar, scarred] }
      start: { place: a, scar: no_scar }
      events:
        mishap: { ends: { place: a }, chance: 0.2, then: { scar: scarred } }
        transfer: { ends: { place: a }, while: { scar: scarred }, then: { place: c } }
    `);
    expectClose(events("mishap"), [0.2, 0, 0, 0]);
    expectClose(events("transfer"), [0.2, 0, 0, 0]);
    expectClose(share({ place: "c" })[1]!, 0.2);
    expectClose(share({ place: "b" })[1]!, 0.8);
  });

  test("an event after a time fires so long after the level was entered, once", () => {
    const { events } = runCase(
      `
      cycle: 1 month
      factors: { place: [z, { a: { clock: 4 months } }] }
      start: { place: z }
      events:
        enter: { at: 2 months, then: { place: a } }
        check: { after: { place: 3 months }, while: { place: a } }
      `,
      settings("10 months"),
    );
    // entered at month 2, so at the end of month 5 (the cycle from 4 to 5)
    expectClose(events("check"), [0, 0, 0, 0, 1, 0, 0, 0, 0, 0]);
  });

  test("an event after a time counts from a renewal", () => {
    const { events } = runCase(
      `
      cycle: 1 month
      factors: { place: [{ a: { clock: 4 months } }] }
      start: { place: a }
      events:
        renewal: { at: 2 months, then: { place: a } }
        check: { after: { place: 3 months }, while: { place: a } }
      `,
      settings("8 months"),
    );
    expectClose(events("check"), [0, 0, 0, 0, 1, 0, 0, 0]);
  });
});

describe("events that move nobody", () => {
  test("happen as often as their rate says, even above once a person", () => {
    const { events } = runCase("events: { visit: { rate: 12 / year }, dying: { chance: 0.5, then: dead } }");
    // membership x rate x time, the mean of opening and closing membership
    expectClose(events("visit"), [9, 4.5, 2.25, 1.125]);
  });

  test("take nobody out and do not compete", () => {
    const { dead, events } = runCase(`
      events:
        visit: { rate: 5 / year }
        scan: { chance: 0.8 }
        dying: { rate: 0.1 / year, then: dead }
        fading: { chance: 0.5, then: dead }
    `);
    expectClose(dead()[1]!, 1 - Math.exp(-0.1) / 2);
    // a chance counts those at risk when its turn comes: not moved by a rate
    expectClose(events("scan")[0]!, 0.8 * Math.exp(-0.1));
  });

  test("count a chance on those whom no earlier chance moved", () => {
    const { events } = runCase(`
      events:
        first: { chance: 0.5, then: dead }
        scan: { chance: 0.8 }
        later: { chance: 0.5, then: dead }
        scan_again: { chance: 0.8 }
    `);
    expectClose(events("scan")[0]!, 0.4);
    expectClose(events("later")[0]!, 0.25);
    expectClose(events("scan_again")[0]!, 0.2);
  });

  test("share a rate event with branches that move", () => {
    const { events, dead } = runCase(`
      events:
        attack:
          rate: 2 / year
          one_of:
            fatal: { chance: 0.1, then: dead }
            survived: { rest: true }
    `);
    // fatal attacks compete at 0.2 a year; the others accrue at 1.8 a year
    const left = Math.exp(-0.2);
    expectClose(dead()[1]!, 1 - left);
    expectClose(events("attack.fatal")[0]!, 1 - left);
    expectClose(events("attack.survived")[0]!, (1.8 * (1 + left)) / 2);
    expectClose(events("attack")[0]!, 1 - left + (1.8 * (1 + left)) / 2);
  });

  test("count branches that move nobody beside those that do in a chance event", () => {
    const { events, dead } = runCase(`
      events:
        surgery:
          chance: 0.5
          one_of:
            fatal: { chance: 0.1, then: dead }
            leak: { chance: 0.2 }
    `);
    expectClose(dead()[1]!, 0.05);
    expectClose(events("surgery")[0]!, 0.5);
    expectClose(events("surgery.leak")[0]!, 0.1);
    expectClose(events("surgery")[1]!, 0.95 * 0.5);
  });
});

describe("rates", () => {
  test("compete: each takes its part of all who leave", () => {
    const { share } = runCase(
      `
      cycle: 6 months
      factors: { place: [a, b, c, d] }
      start: { place: a }
      events:
        to_b: { while: { place: a }, rate: 0.4 / year, then: { place: b } }
        to_c: { while: { place: a }, rate: 0.1 / month, then: { place: c } }
        to_d: { while: { place: a }, rate: 0, then: { place: d } }
      `,
      settings("1 year"),
    );
    const gone = 1 - Math.exp(-1.6 * 0.5);
    expectClose(share({ place: "b" })[1]!, (0.4 / 1.6) * gone);
    expectClose(share({ place: "c" })[1]!, (1.2 / 1.6) * gone);
    expectClose(share({ place: "d" })[1]!, 0);
    expectClose(share({ place: "a" })[2]!, Math.exp(-1.6));
  });

  test("of nothing move nobody", () => {
    const { dead } = runCase("events: { dying: { rate: 0, then: dead } }");
    expectClose(dead(), [0, 0, 0, 0, 0]);
  });

  test("of certain death leave nobody", () => {
    const { dead } = runCase("events: { dying: { rate: 1000 / year, then: dead } }");
    expectClose(dead(), [0, 1, 1, 1, 1]);
  });
});

describe("chances", () => {
  test("in file order are nested survival", () => {
    const { share } = runCase(`
      factors: { place: [a, b, c, d] }
      start: { place: a }
      events:
        to_b: { while: { place: a }, chance: 0.5, then: { place: b } }
        to_c: { while: { place: a }, chance: 0.5, then: { place: c } }
        to_d: { while: { place: a }, chance: 0.5, then: { place: d } }
    `);
    expectClose(share({ place: "b" })[1]!, 0.5);
    expectClose(share({ place: "c" })[1]!, 0.25);
    expectClose(share({ place: "d" })[1]!, 0.125);
    expectClose(share({ place: "a" })[1]!, 0.125);
  });

  test("of one event are one row of a transition matrix", () => {
    const { share } = runCase(`
      factors: { place: [a, b, c] }
      start: { place: a }
      events:
        change:
          while: { place: a }
          one_of: { to_b: { chance: 0.5, then: { place: b } }, to_c: { chance: 0.3, then: { place: c } } }
    `);
    expectClose(share({ place: "b" })[1]!, 0.5);
    expectClose(share({ place: "c" })[1]!, 0.3);
    expectClose(share({ place: "a" })[1]!, 0.2);
  });

  test("of branches are conditional on their parent, to any depth", () => {
    const { events, share } = runCase(`
      factors: { place: [a, b, c] }
      start: { place: a }
      events:
        attempt:
          at: 0
          while: { place: a }
          one_of:
            failed:
              chance: 0.4
              one_of:
                again: { chance: 0.5, one_of: { failed: { chance: 0.2, then: { place: c } }, placed: { rest: true, then: { place: b } } } }
                gave_up: { rest: true, then: { place: c } }
            placed: { rest: true, then: { place: b } }
    `);
    expectClose(events("attempt.failed")[0]!, 0.4);
    expectClose(events("attempt.failed.again")[0]!, 0.2);
    expectClose(events("attempt.failed.again.failed")[0]!, 0.04);
    expectClose(events("attempt.failed.gave_up")[0]!, 0.2);
    expectClose(share({ place: "b" })[0]!, 0.6 + 0.16);
    expectClose(share({ place: "c" })[0]!, 0.24);
  });

  test("a move of a branch overlays its parent's, factor by factor", () => {
    const { share } = runCase(`
      factors: { place: [a, b, c], mood: [well, ill] }
      start: { place: a, mood: well }
      events:
        change:
          at: 0
          then: { place: b }
          one_of:
            badly: { chance: 0.25, then: { mood: ill } }
            elsewhere: { chance: 0.25, then: { place: c } }
            fatal: { chance: 0.25, then: dead }
    `);
    expectClose(share({ place: "b", mood: "ill" })[0]!, 0.25);
    expectClose(share({ place: "c", mood: "well" })[0]!, 0.25);
    expectClose(share({ place: "b", mood: "well" })[0]!, 0.25);
  });

  test("with a period other than the cycle are converted on the hazard scale", () => {
    const { dead } = runCase(
      `
      cycle: 1 month
      inputs: { die: { is: probability, per: year } }
      events: { dying: { chance: die, then: dead } }
      `,
      `${settings("12 months")}\n${fixed({ die: 0.36 })}`,
    );
    expectClose(dead()[1]!, 1 - 0.64 ** (1 / 12));
    expectClose(dead()[12]!, 0.36);
  });

  test("of one event with a period other than the cycle are converted together", () => {
    const { share } = runCase(
      `
      cycle: 1 month
      inputs: { out: { is: probability, per: year, over: [stay, to_b, to_c] } }
      factors: { place: [a, b, c] }
      start: { place: a }
      events:
        change:
          while: { place: a }
          one_of: { to_b: { chance: out.to_b, then: { place: b } }, to_c: { chance: out.to_c, then: { place: c } } }
      `,
      `${settings("12 months")}\ninputs: { out: { fixed: { stay: 0.5, to_b: 0.3, to_c: 0.2 }, why: by construction, source: invented } }`,
    );
    // the whole on the hazard scale, split in proportion, so that a year of it gives the yearly chances back
    const monthly = 1 - 0.5 ** (1 / 12);
    expectClose(share({ place: "b" })[1]!, 0.6 * monthly);
    expectClose(share({ place: "c" })[1]!, 0.4 * monthly);
    expectClose(share({ place: "a" })[12]!, 0.5);
    expectClose(share({ place: "b" })[12]!, 0.3);
  });

  test("that fill the whole of a longer period are certain in the cycle", () => {
    const { share } = runCase(
      `
      cycle: 1 month
      inputs: { out: { is: probability, per: year, over: [to_b, to_c] } }
      factors: { place: [a, b, c] }
      start: { place: a }
      events:
        change:
          while: { place: a }
          one_of: { to_b: { chance: out.to_b, then: { place: b } }, to_c: { chance: out.to_c, then: { place: c } } }
      `,
      `${settings("2 months")}\ninputs: { out: { fixed: { to_b: 0.3, to_c: 0.7 }, why: by construction, source: invented } }`,
    );
    expectClose(share({ place: "b" })[1]!, 0.3);
    expectClose(share({ place: "c" })[1]!, 0.7);
  });
});

describe("cases", () => {
  test("apply the first form that fits", () => {
    const { share, events } = runCase(`
      factors: { place: [a, b, c, d] }
      start: { place: { a: 0.5, b: 0.5 } }
      events:
        change:
          cases:
            - { while: { place: a }, one_of: { away: { chance: 0.5, then: { place: c } } } }
            - { while: { place: [a, b] }, one_of: { away: { chance: 0.1, then: { place: d } } } }
    `);
    expectClose(share({ place: "c" })[1]!, 0.25);
    expectClose(share({ place: "d" })[1]!, 0.05);
    // branches of one name count together
    expectClose(events("change.away")[0]!, 0.3);
    expectClose(events("change")[0]!, 0.3);
  });

  test("share the condition and the timing written once for all", () => {
    const { share, events } = runCase(`
      factors: { place: [a, b, c], mood: [well, ill] }
      start: { place: { a: 0.5, b: 0.5 }, mood: { well: 0.5, ill: rest } }
      events:
        change:
          at: 1 year
          while: { mood: ill }
          cases:
            - { while: { place: a }, chance: 0.5, then: { place: c } }
            - { while: { place: b }, then: { place: c } }
    `);
    expectClose(share({ place: "c", mood: "ill" }), [0, 0.125 + 0.25, 0.375, 0.375, 0.375]);
    expectClose(share({ place: "c", mood: "well" }), [0, 0, 0, 0, 0]);
    expectClose(events("change"), [0, 0.375, 0, 0]);
  });

  test("may apply by strategy", () => {
    const { dead } = runCase(`
      strategies: { old: { label: Old }, new: { label: New } }
      events: { dying: { cases: [{ strategies: [new], chance: 0.1, then: dead }, { chance: 0.5, then: dead }] } }
    `);
    expectClose(dead({ strategy: "old" })[1]!, 0.5);
    expectClose(dead({ strategy: "new" })[1]!, 0.1);
  });
});

describe("crude incidence", () => {
  const model = (others: string) => `
    inputs: { relapse: { is: probability, per: 2 years }, die: { is: rate, per: year } }
    factors: { place: [well, ill] }
    start: { place: well }
    events:
      falling: { while: { place: well }, crude: relapse, then: { place: ill } }
      ${others}
  `;
  const data = fixed({ relapse: 0.3, die: "0.2 / year" });

  test("alone is the ordinary conversion", () => {
    const { share } = runCase(model("spare: { chance: 0, then: dead }"), data);
    expectClose(share({ place: "ill" })[2]!, 0.3);
  });

  test("is reached beside the other hazards of the state", () => {
    const { share, events } = runCase(model("dying: { rate: die, then: dead }"), data);
    // p = h / (h + H) (1 - exp(-(h + H) t)) with p = 0.3, H = 0.2, t = 2, h by bisection
    let [low, high] = [0, 5];
    for (let i = 0; i < 200; i++) {
      const h = (low + high) / 2;
      if ((h / (h + 0.2)) * (1 - Math.exp(-(h + 0.2) * 2)) < 0.3) low = h;
      else high = h;
    }
    const gone = 1 - Math.exp(-(low + 0.2));
    expectClose(events("falling")[0]!, (low / (low + 0.2)) * gone);
    // after its own period as many have fallen ill as were observed
    const fallen = events("falling")[0]! + events("falling")[1]!;
    expectClose(fallen, 0.3);
    expect(share({ place: "ill" })[2]!).toBeLessThan(0.3);
  });

  test("of several events of one state is reached by each", () => {
    const { events } = runCase(
      `
      inputs: { relapse: { is: probability, per: 2 years }, leave: { is: probability, per: 2 years }, die: { is: rate, per: year } }
      factors: { place: [well, ill, away] }
      start: { place: well }
      events:
        falling: { while: { place: well }, crude: relapse, then: { place: ill } }
        leaving: { while: { place: well }, crude: leave, then: { place: away } }
        dying: { while: { place: well }, rate: die, then: dead }
      `,
      fixed({ relapse: 0.3, leave: 0.15, die: "0.2 / year" }),
    );
    expectClose(events("falling")[0]! + events("falling")[1]!, 0.3);
    expectClose(events("leaving")[0]! + events("leaving")[1]!, 0.15);
  });

  test("of nothing moves nobody", () => {
    const { events } = runCase(model("dying: { rate: die, then: dead }"), fixed({ relapse: 0, die: "0.2 / year" }));
    expectClose(events("falling"), [0, 0, 0, 0]);
  });

  test("that the other hazards leave too few for is refused", () => {
    const found = findingsOf(model("dying: { rate: die, then: dead }"), fixed({ relapse: 1, die: "2 / year" }));
    expect(found.map(({ code }) => code)).toEqual(["crude-unreachable"]);
  });
});

describe("death", () => {
  test("ends everything that accrues, except what its event counts before removal", () => {
    const { cycles } = runCase(
      `
      factors: { place: [home, ward] }
      start: { place: { home: 0.8, ward: 0.2 } }
      events:
        dying: { chance: 0.5, one_of: { sudden: { chance: 0.25, then: dead }, slow: { rest: true, then: dead } } }
      accounts:
        cost:
          in: money
          lines:
            living: { amount: 100 EUR/year }
            alive: { while: alive, amount: 10 EUR/year }
            ward: { while: { place: ward }, amount: 1000 EUR/year }
            funeral: { on: dying, amount: 5 EUR }
            on_the_ward: { on: dying, while: { place: ward }, amount: 7 EUR }
        life_years: { in: year, lines: { alive: { amount: 1 } } }
        deaths: { count: dying }
        fatal: { count: [dying.sudden, dying.slow] }
      `,
      settings("2 years", "counting: end"),
    );
    expectClose(cycles("cost", { line: "living" }), [50, 25]);
    expectClose(cycles("cost", { line: "alive" }), [5, 2.5]);
    expectClose(cycles("cost", { line: "ward" }), [100, 50]);
    expectClose(cycles("cost", { line: "funeral" }), [2.5, 1.25]);
    expectClose(cycles("cost", { line: "on_the_ward" }), [0.7, 0.35]);
    expectClose(cycles("deaths"), [0.5, 0.25]);
    expectClose(cycles("fatal"), [0.5, 0.25]);
    expectClose(cycles("life_years"), [0.5, 0.25]);
  });
});

describe("whom a thing concerns", () => {
  const { cycles, events, used } = runCase(
    `
    strategies: { old: { label: Old }, new: { label: New } }
    factors: { place: [home, ward] }
    start: { place: { home: 0.75, ward: 0.25 } }
    resources:
      bed: { in: piece, price: 10 EUR, line: stay, borne_by: payer }
      meal: { in: piece, price: 3 EUR, line: stay, borne_by: patient }
      scan: { in: piece, price: 100 EUR, borne_by: payer }
    events:
      admission: { at: 0, strategies: [new], uses: { bed: 2, meal: 6 } }
      check: { at: 1 year, while: { place: ward }, uses: { scan: 1 }, one_of: { found: { chance: 0.5, uses: { scan: 1 } } } }
    accounts:
      cost:
        in: money
        resources: [bed, meal]
        lines:
          everywhere: { amount: 1 EUR/year }
          on_the_ward: { while: { place: ward }, amount: 8 EUR/year }
          of_the_new: { strategies: [new], amount: 2 EUR/year }
          when_found: { on: check.found, strategies: [new], amount: 40 EUR }
      all_costs: { in: money, resources: all }
      life_years: { in: year, lines: { alive: { amount: 1 } } }
    `,
    settings("2 years"),
  );
  const both = (account: string, line: string) =>
    ["old", "new"].map((strategy) => cycles(account, { strategy, line }).map((amount) => amount));

  test("events and lines may be of some strategies only", () => {
    expectClose(events("admission", { strategy: "old" }), [0, 0]);
    expectClose(events("admission", { strategy: "new" }), [1, 0]);
    expect(both("cost", "of_the_new")).toEqual([
      [0, 0],
      [2, 2],
    ]);
    expect(both("cost", "when_found")).toEqual([
      [0, 0],
      [0, 5],
    ]);
  });

  test("lines may be of some levels only", () => {
    expectClose(cycles("cost", { line: "everywhere" }), [1, 1]);
    expectClose(cycles("cost", { line: "on_the_ward" }), [2, 2]);
  });

  test("resources feed their line in every account that names them, whoever bears them", () => {
    expect(both("cost", "stay")).toEqual([
      [0, 0],
      [38, 0],
    ]);
    expect(both("all_costs", "stay")).toEqual(both("cost", "stay"));
    expectClose(cycles("all_costs", { line: "scan" }), [0, 37.5]);
    expectClose(cycles("cost"), [3, 3]);
  });

  test("what a branch uses comes on top of what its event uses", () => {
    expectClose(used("scan"), [0, 0.25 + 0.125]);
    expectClose(used("bed", { strategy: "new" }), [2, 0]);
  });
});

describe("what cannot be", () => {
  test("a chance above 1 is refused with state, cycle and strategy", () => {
    const [found] = findingsOf(
      `
      evaluate: start
      inputs: { p: { is: probability, per: year } }
      factors: { place: [a, b] }
      start: { place: a }
      events: { move: { while: { place: a }, chance: p * (1 + time / 1 year), then: { place: b } } }
      `,
      fixed({ p: 0.4 }),
    );
    expect(found).toMatchObject({ code: "chance-out-of-range", path: "events.move.chance" });
    expect(found!.message).toContain("1.2000000000000002 in state a, cycle 2, strategy s");
  });

  test("a chance above 1 with a period other than the cycle is refused as such", () => {
    const [found] = findingsOf(
      `
      cycle: 1 month
      inputs: { die: { is: probability, per: year }, ratio: { is: relative_risk } }
      events: { dying: { chance: die * ratio, then: dead } }
      `,
      fixed({ die: 0.6, ratio: 2 }),
    );
    expect(found).toMatchObject({ code: "chance-out-of-range" });
    expect(found!.message).toContain("1.2");
  });

  test("branches that sum above 1 are refused, in a period of their own too", () => {
    for (const cycle of ["1 month", "1 year"]) {
      const [found] = findingsOf(
        `
        cycle: ${cycle}
        inputs: { p: { is: probability, per: year, over: [a, b], each_sums: false } }
        events: { dying: { one_of: { one: { chance: p.a, then: dead }, two: { chance: p.b, then: dead } } } }
        `,
        "inputs: { p: { fixed: { a: 0.7, b: 0.6 }, why: by construction, source: invented } }",
      );
      expect(found).toMatchObject({ code: "chance-out-of-range" });
      expect(found!.message).toContain("1.2999999999999998");
    }
  });

  test("a sum above 1 by rounding alone is taken as 1", () => {
    for (const cycle of ["1 month", "1 year"]) {
      const { dead } = runCase(
        `
        cycle: ${cycle}
        inputs: { p: { is: probability, per: year, over: [a, b, c] } }
        events: { dying: { one_of: { one: { chance: p.a, then: dead }, two: { chance: p.b, then: dead }, three: { chance: p.c, then: dead } } } }
        `,
        "inputs: { p: { fixed: { a: 0.2, b: 0.7000000000000001, c: 0.1 }, why: by construction, source: invented } }",
      );
      expectClose(dead()[1]!, 1);
    }
  });

  test("a negative rate is refused with state, cycle and strategy", () => {
    const [found] = findingsOf("events: { dying: { rate: (0.1 - 0.05 * cycle) / year, then: dead } }");
    expect(found).toMatchObject({ code: "rate-negative" });
    expect(found!.message).toContain("in state Alive, cycle 3, strategy s");
  });
});
