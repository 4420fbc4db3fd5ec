import { constant } from "../../src/compile/bound.ts";
import type { EventForm, Program } from "../../src/compile/program.ts";
import { compensatedSum } from "../../src/numerics/sum.ts";
import { demand, demandNear } from "./demand.ts";
import { everywhere, type Law } from "./law.ts";
import { rerunFirst } from "./opened.ts";

/** What rounding may leave of people whom an event took altogether. */
const rounding = 1e-13;

/** Everybody is somewhere, in shares from 0 to 1. */
export const massIsConserved: Law = (one) => {
  const width = one.study.expansion.states.length + 1;
  everywhere(one, ({ membership }, where) => {
    for (let c = 0; c <= one.program.grid.cycles; c++) {
      const shares = membership.subarray(c * width, (c + 1) * width);
      demandNear(compensatedSum(shares), 1, 1, `all people at boundary ${c}, ${where}`);
      const wrong = shares.find((share) => !(share >= -rounding && share <= 1 + 1e-12));
      demand(wrong === undefined, () => `a share of ${wrong} at boundary ${c}, ${where}`);
    }
  });
};

/** The share of the dead never falls. */
export const theDeadStayDead: Law = (one) => {
  const width = one.study.expansion.states.length + 1;
  everywhere(one, ({ membership }, where) => {
    for (let c = 1; c <= one.program.grid.cycles; c++) {
      const [before, now] = [membership[c * width - 1]!, membership[(c + 1) * width - 1]!];
      demand(now >= before - rounding, () => `${before} dead, then ${now} at boundary ${c}, ${where}`);
    }
  });
};

/** The program with one more event, last in file order, that ends everybody's life at the opening of a cycle. */
function withExtinction(program: Program, cycle: number): Program {
  const source = { text: "extinction", place: { file: "", line: 1, column: 1, path: "" } };
  const form: EventForm = {
    event: Math.max(0, ...program.events.map(({ event }) => event + 1)),
    timing: {
      ...{ when: "instant", at: [constant(cycle * program.grid.cycleYears)], sources: [source] },
      ...{ every: null, from: 0, until: null, shares: null },
    },
    strategies: program.strategies.map(() => true),
    match: program.factors.map(() => null),
    root: { path: program.paths.length, chance: null, rest: false, move: "dead", uses: [], children: [], source },
    moves: true,
    source,
  };
  return { ...program, events: [...program.events, form], paths: [...program.paths, "extinction"] };
}

/** Once everybody has died nothing is counted any more; and their death changes nothing before it. */
export const theDeadAccrueNothing: Law = ({ program, row, traced }) => {
  const cycle = 2;
  const ended = rerunFirst(withExtinction(program, cycle), row);
  const before = traced[0]![0]!;
  const T = program.grid.cycles;
  for (const [key, rows] of [
    ["raw", program.entries.length],
    ["events", program.paths.length],
    ["resources", program.resources.length],
    ["lifeYears", 1],
  ] as const) {
    for (let i = 0; i < rows; i++) {
      for (let c = 0; c < T; c++) {
        const [found, was] = [ended[key][i * T + c]!, before[key][i * T + c]!];
        if (c < cycle) demand(Object.is(found, was), () => `${key} ${i} of cycle ${c}: ${found} instead of ${was}`);
        // in the cycle that nobody begins, earlier events of its opening still count
        if (c > cycle) demand(found === 0, () => `${key} ${i} of cycle ${c}: ${found} without anybody alive`);
      }
    }
  }
  demand(ended.lifeYears[cycle] === 0, () => `${ended.lifeYears[cycle]} years lived without anybody alive`);
};
