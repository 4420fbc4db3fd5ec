import type { ResultDocument } from "../../src/report/result.ts";
import type { FileSource } from "../../src/schema/files.ts";
import { openStudy, runStudy } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

const model = `
  cycle: 1 year
  strategies:
    usual: { label: Usual care, called: usual care, steps: [Visits] }
    new: { label: New pathway, called: the new pathway, has: [new], steps: [A device, Fewer visits] }
  inputs:
    price: { is: cost, of: piece, label: Price of the device }
    care: { is: cost, per: year, label: Care of the ill }
    loss: { is: cost, per: year, label: Work lost by the ill }
    onset: { is: rate, per: year, by: strategy, label: Falling ill }
    health: { is: utility, label: Quality of life when well }
    quality: { is: utility, label: Quality of life when ill }
  factors:
    illness: [well, ill]
  start: { illness: well }
  resources:
    device: { in: piece, price: price, borne_by: payer, line: device, label: Devices }
  events:
    fitting: { label: Fitting, at: 0, strategies: [new], uses: { device: 1 } }
    falling_ill: { label: Falling ill, while: { illness: well }, rate: onset, then: { illness: ill } }
  accounts:
    cost:
      label: Cost
      in: money
      resources: all
      lines:
        care: { while: { illness: ill }, amount: care, borne_by: payer, label: Care }
        work: { while: { illness: ill }, amount: loss, borne_by: employer, label: Lost work }
    qaly:
      label: QALYs
      in: QALY
      lines:
        well: { while: { illness: well }, amount: health }
        ill: { while: { illness: ill }, amount: quality }
`;

const scenario = `
  settings:
    money: { unit: EUR, price_year: 2025 }
    effect: qaly
    reference: usual
    perspective: payer
    perspectives: { payer: [payer], all: [payer, employer] }
    horizon: 10 years
    thresholds: [10000 EUR/QALY, 20000 EUR/QALY]
  inputs:
    price: { fixed: 900 EUR, why: test, source: invented }
    care: { mean: 800 EUR/year, se: 80 EUR/year, source: invented }
    loss: { fixed: 300 EUR/year, why: test, source: invented }
    onset:
      by:
        usual: { observed: { events: 12, person_time: 200 years } }
        new: { observed: { events: 9, person_time: 200 years } }
      source: invented
    health: { fixed: 1, why: test, source: invented }
    quality: { mean: 0.8, se: 0.04, source: invented }
`;

/** The files of that case, with a check that its author wrote for the author's own values. */
export function checkedFiles(): FileSource {
  return caseFiles(model, `${scenario}\n  expect: { within_budget: cost.new < 5000 EUR }`);
}

/** A small case with everything an answer can have: two pathways, two bearers, spread; answered with some draws. */
export function answeredDocument(draws = 200): ResultDocument {
  return runStudy(openStudy(caseFiles(model, scenario), scenarioPath), { draws, seed: "test" });
}
