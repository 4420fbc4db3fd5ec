import { bundleFiles } from "../../src/schema/files.ts";
import { openStudy, type Study } from "../../src/study.ts";
import { uniform } from "./workload/rows.ts";

const inputs = ["onward", "across", "dying", "care", "visit", "health"];

/**
 * A model of so many states in a ring, made for measuring how time grows: from each the next and the third next can be
 * reached, and death, at rates of its own that grow with age, so that each takes one exponential and one division a
 * cycle; each has its own cost and its own utility. All states are inhabited from the start.
 */
export function ringModel(states: number): string {
  const all = Array.from({ length: states }, (_, i) => i);
  const name = (i: number): string => `s${i % states}`;
  const cases = (line: (i: number) => string): string => all.map((i) => `      - { ${line(i)} }`).join("\n");
  const move = (rate: string, by: number) =>
    cases((i) => `while: { place: ${name(i)} }, rate: ${rate} * ${1 + i / states}, then: { place: ${name(i + by)} }`);
  return `model: ring
cycle: 1 month
strategies: { only: { label: Only } }
inputs:
  onward: { is: rate, per: year }
  across: { is: rate, per: year }
  dying: { is: rate, per: year }
  care: { is: cost, per: month }
  visit: { is: cost, of: case }
  health: { is: utility }
formulas:
  wear: exp(time / 50 years)
factors:
  place: [${all.map(name).join(", ")}]
start: { place: { ${all.map((i) => `${name(i)}: ${i === 0 ? "rest" : 1 / states}`).join(", ")} } }
events:
  step:
    cases:
${move("onward * wear", 1)}
  leap:
    cases:
${move("across * wear", 3)}
  death:
    cases:
${cases((i) => `while: { place: ${name(i)} }, rate: dying * wear * ${1 + (2 * i) / states}, then: dead`)}
accounts:
  cost:
    in: money
    lines:
      steps: { on: step, amount: visit }
${all.map((i) => `      care_${i}: { while: { place: ${name(i)} }, amount: care * ${1 + i / states} }`).join("\n")}
  qaly:
    in: QALY
    lines:
${all.map((i) => `      life_${i}: { while: { place: ${name(i)} }, amount: health * ${1 - i / (2 * states)} }`).join("\n")}
`;
}

function ringScenario(cycles: number): string {
  const fixed = (name: string, value: string): string =>
    `  ${name}: { fixed: ${value}, why: constructed, source: constructed }`;
  return `scenario: ring
about: Constructed for measuring how time grows.
model: ring
settings:
  money: { unit: EUR }
  effect: qaly
  horizon: ${cycles} months
  discount: { costs: 3% / year, effects: 1.5% / year }
  thresholds: [20000 EUR/QALY]
inputs:
${[
  fixed("onward", "0.2 / year"),
  fixed("across", "0.05 / year"),
  fixed("dying", "0.01 / year"),
  fixed("care", "50 EUR/month"),
  fixed("visit", "200 EUR"),
  fixed("health", "0.8"),
].join("\n")}
`;
}

/** The ring of so many states over so many monthly cycles, opened. */
export function openRing(states: number, cycles: number): Study {
  const files = new Map([
    ["models/ring.model.yaml", ringModel(states)],
    ["scenarios/ring.scenario.yaml", ringScenario(cycles)],
  ]);
  return openStudy(bundleFiles(files), "scenarios/ring.scenario.yaml");
}

/** Rows in which every input lies between 0.9 and 1.1 of its base value. */
export function ringRows({ program }: Study, draws: number): Float64Array {
  const width = inputs.length;
  const rows = new Float64Array(draws * width);
  for (let d = 0; d < draws; d++)
    for (const [k, { base }] of program.components.entries()) rows[d * width + k] = base * (0.9 + 0.2 * uniform(d, k));
  return rows;
}
