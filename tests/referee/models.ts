import { openStudy, type Study } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

const invented = "source: invented";

const threeGroups = `
        groups:
          men: { share: 0.4, sex: male, start_bmi: 36 kg/m2, first_visit: 2 months }
          women: { share: 0.35, sex: female, start_bmi: 33 kg/m2, first_visit: 2 months }
          others: { share: 0.25, sex: female, start_bmi: 41 kg/m2, first_visit: 4 months }`;

/** Groups of `pathways` that have each attribute in common with half of the others, so that much of their work is shared. */
export const crossedGroups = `
        cross:
          sex: { female: 0.65, male: 0.35 }
          size: [{ share: 0.4, label: lighter, start_bmi: 33 kg/m2 }, { share: 0.6, label: heavier, start_bmi: 41 kg/m2 }]
          visit: [{ share: 0.5, label: early, first_visit: 2 months }, { share: 0.5, label: late, first_visit: 4 months }]`;

/** Clocks, instants, choices, tables, groups, resources and bearers in one small model, over months. */
export function pathways(settings = "counting: middle", inputs = "", groups = threeGroups): Study {
  return openStudy(
    caseFiles(
      `
      cycle: 1 month
      strategies:
        usual: { label: Usual care }
        device: { label: Device, has: [placed] }
        both: { label: Device and visits, has: [placed, visited] }
      population: { sex: [male, female], start_bmi: { is: number, in: kg/m2 }, first_visit: { is: duration } }
      inputs:
        start_age: { is: duration }
        dwell: { is: duration, by: strategy }
        loss: { is: change, by: strategy }
        regain: { is: rate, per: year }
        kept: { is: duration, over: [early, late] }
        regimen: { is: choice, of: [short, extended] }
        dose: { is: number, over: [short, extended] }
        outcome: { is: probability, of: attempt, over: [harm, fatal, failed, fine] }
        harm_death: { is: probability, of: case }
        stopping: { is: probability, per: year }
        leaving: { is: probability, per: 6 months }
        reason: { is: share, over: [a, b] }
        out_at: { is: share, over: [first, second, third] }
        falling: { is: rate, per: year, over: [male, female] }
        per_bmi: { is: hazard_ratio, per: kg/m2 }
        odds: { is: odds_ratio }
        harm_ratio: { is: relative_risk }
        ill_at_start: { is: share }
        well: { is: utility, over: [none, ill] }
        price: { is: cost, of: piece, by: strategy }
        minute_price: { is: cost, per: minute }
        care: { is: cost, per: year, over: [none, ill] }
        visits: { is: count }
      tables:
        death: { by: { age: year, sex: [male, female] }, is: probability, per: year, between: step, beyond: last }
        wear: { by: { age: year }, is: ratio, between: linear }
        shape: { by: { time: year, regimen: [short, extended] }, is: ratio, between: monotone, beyond: last }
      formulas:
        age: start_age + time
        kept_in: "course == stopped ? (regimen == short ? kept.early : kept.late) : dwell"
        lost_usual: loss.usual * exp(-regain * time)
        lost: "placed and course != waiting ? (time < kept_in ? loss * (time / dwell) : lost_usual + (loss - loss.usual) * shape(time - kept_in, regimen) * spread) : lost_usual"
        spread: { alternatives: { even: exp(-regain * time), odd: 1 / (1 + time / 1 year) } }
        bmi: start_bmi * (1 - lost)
        earlier: bmi(time - 3 months)
        above: max(0, bmi - 25 kg/m2)
        death_rate: hazard_of(death(age, sex)) * per_bmi ^ above * wear(time)
        falling_rate: falling[sex] * per_bmi ^ (earlier - 25 kg/m2) * (1 + min(1, abs(lost)) + floor(cycle / 12) / 100)
        compared: "lost.device > lost.usual or not (lost.device >= lost.usual) ? sqrt(1 + log(2) / 4) : 1"
      factors:
        course: [waiting, { in_place: { lasts: dwell, then: done } }, { done: { clock: 3 months } }, stopped, failed]
        illness: [none, { ill: { clock: 2 months } }]
      start: { course: waiting, illness: { ill: ill_at_start, none: rest } }
      resources:
        device: { in: piece, price: price, borne_by: payer, line: device }
        staff: { in: minute, price: "minute_price * (regimen == extended ? 1.5 : 1)", borne_by: payer, line: staff }
        travel: { in: visit, price: 10 EUR/piece, borne_by: patient, line: travel }
      events:
        placing:
          at: 0
          strategies: [device, both]
          while: { course: waiting }
          uses: { device: 1, staff: 30 minutes }
          one_of:
            harm: { chance: outcome.harm, uses: { travel: 2 }, one_of: { fatal: { chance: harm_death, then: dead }, mild: { rest: true, then: { course: failed } } } }
            fatal: { chance: outcome.fatal, then: dead }
            failed: { chance: outcome.failed, then: { course: failed } }
            fine: { rest: true, then: { course: in_place } }
        visit:
          at: first_visit
          strategies: [both]
          chance: 0.9
          uses: { travel: visits, staff: "dose[regimen] * 1 minute" }
        check: { every: 2 months, from: 1 month, until: 9 months, while: { course: [in_place, done] }, uses: { staff: 5 minutes } }
        taken_out: { at: [2 months, 3 months, 5 months], shares: out_at, while: { course: failed }, then: { course: stopped } }
        dying: { rate: death_rate, then: dead }
        falling: { while: { illness: none }, rate: falling_rate, one_of: { noted: { chance: 0.8, then: { illness: ill } }, unnoted: { rest: true, uses: { travel: 1 } } } }
        leaving: { while: { course: in_place }, crude: leaving, one_of: { a: { chance: reason.a, then: { course: stopped } }, b: { rest: true, uses: { staff: 10 minutes }, then: { course: failed } } } }
        recovering: { while: { illness: ill }, after: { illness: 2 months }, chance: 0.4, then: { illness: none } }
        stopping:
          while: { course: in_place }
          cases:
            - { strategies: [device], chance: "with_odds(stopping, odds)", then: { course: stopped } }
            - { while: { illness: ill }, chance: "since(course) < 1 month ? 0 : stopping", then: { course: stopped }, uses: { travel: 1 } }
            - one_of: { soft: { chance: stopping * harm_ratio, then: { course: stopped } }, hard: { chance: stopping / 2, then: dead } }
        relapse: { while: { course: [done, stopped] }, chance: "chance_of(regain * 0.1)", then: { illness: ill } }
        again: { while: { course: done }, rate: 0.05 / year, then: { course: done } }
        sick: { while: { course: in_place }, chance: "since(course) < 1 month ? 0.3 : 0.1", uses: { staff: 15 minutes } }
        calls: { while: { illness: ill }, rate: "3 / year * compared", uses: { staff: 4 minutes, travel: 1 } }
        end_of_device:
          ends: { course: in_place }
          uses: { staff: 20 minutes }
          one_of: { harm: { chance: 0.02, uses: { travel: 1 } }, fatal: { chance: 0.001, then: dead }, again: { chance: 0.05, then: { course: in_place } }, plain: { rest: true } }
      accounts:
        cost:
          in: money
          resources: all
          lines:
            care: { while: alive, amount: "care[illness]", borne_by: payer }
            weight: { while: { course: [done, stopped, failed] }, amount: "5 EUR/year * above / (1 kg/m2)", borne_by: payer }
            own: { while: { illness: ill }, amount: 20 EUR/year, borne_by: patient }
            burial: { on: dying, amount: 3000 EUR }
            ill_death: { on: dying, while: { illness: ill }, amount: 100 EUR, borne_by: payer }
            devices: { while: { course: in_place }, strategies: [device], amount: 12 EUR/year }
        qaly:
          in: QALY
          lines:
            health: { while: alive, amount: "well[illness] - 0.002 QALY/year * (above / (1 kg/m2))" }
            harm: { on: placing.harm.mild, amount: -0.01 QALY }
        life_years: { in: year, discount: effects, lines: { alive: { amount: 1 } } }
        harms: { count: [placing.harm, end_of_device.harm] }
        deaths: { count: dying, discount: effects }
      `,
      `
      settings:
        money: { unit: EUR }
        horizon: 30 months
        effect: qaly
        discount: { costs: 3% / year, effects: 1.5% / year }
        perspective: payer
        perspectives: { payer: [payer], all: [payer, patient] }
        ${settings}
      population: ${groups}
      inputs:
        start_age: { fixed: 62.3 years, why: test, ${invented} }
        dwell: { by: { usual: { fixed: 6 months, why: t }, device: { fixed: 4 months, why: t }, both: { fixed: 6 months, why: t } }, ${invented} }
        loss: { by: { usual: { mean: 3%, se: 0.4% }, device: { mean: 11%, se: 1% }, both: { mean: 13%, se: 1% } }, ${invented} }
        regain: { estimate: 0.5 / year, interval: [0.35, 0.71], in: / year, level: 95%, ${invented} }
        kept: { fixed: { early: 1 month, late: 2 months }, why: test, ${invented} }
        regimen: { chosen: { short: 0.4, extended: 0.6 }, ${invented} }
        dose: { fixed: { short: 10, extended: 25 }, why: test, ${invented} }
        outcome: { observed: { counts: { harm: 3, fatal: 1, failed: 6, fine: 90 } }, ${invented} }
        harm_death: { observed: { events: 1, of: 26 }, ${invented} }
        stopping: { observed: { events: 6, of: 60 }, ${invented} }
        leaving: { observed: { events: 4, of: 60 }, ${invented} }
        reason: { observed: { counts: { a: 3, b: 4 } }, ${invented} }
        out_at: { observed: { counts: { first: 3, second: 4, third: 5 } }, ${invented} }
        falling: { each: { male: { observed: { events: 63, person_time: 2100 years } }, female: { observed: { events: 36, person_time: 2800 years } } }, ${invented} }
        per_bmi: { estimate: 1.05, interval: [1.02, 1.08], level: 95%, ${invented} }
        odds: { estimate: 0.8, interval: [0.6, 1.07], level: 95%, ${invented} }
        harm_ratio: { estimate: 0.7, interval: [0.5, 0.98], level: 95%, ${invented} }
        ill_at_start: { observed: { events: 12, of: 100 }, ${invented} }
        well: { each: { none: { mean: 0.85, se: 0.02 }, ill: { mean: 0.7, se: 0.03 } }, ${invented} }
        price: { by: { usual: { fixed: 0 EUR, why: t }, device: { fixed: 1450 EUR, why: t }, both: { fixed: 1100 EUR, why: t } }, ${invented} }
        minute_price: { mean: 2 EUR/minute, se: 0.2 EUR/minute, ${invented} }
        care: { each: { none: { mean: 100 EUR/year, se: 10 EUR/year }, ill: { mean: 1900 EUR/year, se: 200 EUR/year } }, ${invented} }
        visits: { mean: 2.5, se: 0.2, ${invented} }
        ${inputs}
      alternatives: { spread: { even: 0.6, odd: 0.4, why: test } }
      tables:
        death: { file: death.csv, ${invented} }
        wear: { points: [[0 years, 1], [1 year, 1.2], [4 years, 1.5]], ${invented} }
        shape: { points: { short: [[0 years, 1], [1 year, 0.5], [2 years, 0.4]], extended: [[0 years, 1], [1 year, 0.7], [2 years, 0.6]] }, ${invented} }
      `,
      {
        "models/tables/death.csv": "age,male,female\n60,0.011,0.007\n61,0.012,0.008\n62,0.014,0.009\n63,0.016,0.010\n",
      },
    ),
    scenarioPath,
  );
}

/** The settings under which `pathways` is run: every counting rule, point of events and form of discount. */
export const settingsOfPathways: readonly string[] = [
  "counting: middle",
  "counting: start",
  "counting: end\n        events_at: start",
  "counting: trapezoid\n        events_at: end",
  "counting: { weights: { first: 1/3, repeat: [2/3, 4/3], last: 1/3 } }",
];

/** A model without factors, with formulas at the start of the cycle, stepped discounts in whole years and Simpson's rule. */
export function plainLife(): Study {
  return openStudy(
    caseFiles(
      `
      cycle: 1 year
      evaluate: start
      strategies: { a: { label: A }, b: { label: B, has: [slower] } }
      inputs: { hazard: { is: rate, per: year }, effect: { is: hazard_ratio }, yearly: { is: cost, per: year } }
      events: { dying: { rate: "slower and time < 5 years ? hazard * effect : hazard", then: dead }, cold: { rate: 0.5 / year } }
      accounts:
        cost: { in: money, lines: { all: { amount: "time <= 3 years ? yearly : yearly / 2" }, end: { on: dying, amount: 100 EUR } } }
        life_years: { in: year, discount: effects, lines: { alive: { amount: 1 } } }
        colds: { count: cold }
      `,
      `
      settings:
        money: { unit: EUR }
        horizon: 12 years
        effect: life_years
        counting: simpson
        discount:
          timing: whole years
          costs: [{ rate: 4% / year }, { after: 5 years, rate: 2% / year }]
          effects: 0% / year
      inputs:
        hazard: { observed: { events: 20, person_time: 300 years }, source: invented }
        effect: { estimate: 0.6, interval: [0.4, 0.9], level: 95%, source: invented }
        yearly: { mean: 500 EUR/year, se: 50 EUR/year, source: invented }
      `,
    ),
    scenarioPath,
  );
}

/** A table that refuses positions beyond its rows, asked only where a condition holds or where there may be nobody. */
export function guardedTable(test: string): Study {
  return openStudy(
    caseFiles(
      `
      strategies: { s: { label: S } }
      inputs: { share: { is: share }, hazard: { is: rate, per: year } }
      tables: { bends: { by: { time: year }, is: ratio, between: linear } }
      factors: { place: [here, there] }
      start: { place: { there: share, here: rest } }
      events: { dying: { rate: "hazard * (${test} ? bends(time) : 1)", then: dead } }
      `,
      `
      settings: { money: { unit: EUR }, horizon: 6 years, effect: life_years }
      inputs:
        share: { fixed: 0, why: nobody, source: invented }
        hazard: { observed: { events: 20, person_time: 300 years }, source: invented }
      tables: { bends: { points: [[0 years, 1], [3 years, 2]], source: invented } }
      `,
    ),
    scenarioPath,
  );
}
