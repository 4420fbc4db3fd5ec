import type { Program } from "../../src/compile/program.ts";
import type { Outcomes } from "../../src/engine/outcomes.ts";
import { evaluateReference } from "../../src/engine/reference.ts";
import { evaluateRows, prepareRows } from "../../src/engine/rows.ts";
import { InputError } from "../../src/errors.ts";
import type { Study } from "../../src/study.ts";

/** What the referee makes of one row: totals by `[compared strategy][account]`, with the size of what was added. */
export interface Judged {
  readonly totals: readonly (readonly number[])[];
  readonly absolute: readonly (readonly number[])[];
  readonly lifeYears: readonly number[];
  /** Least share of the living that a cycle leaves alive, over groups; 1 where nobody dies. */
  readonly leftAlive: readonly number[];
}

/** The referee's totals of a row in the scenario's perspective. Throws as the referee does. */
export function judged(study: Study, row: Float64Array): Judged {
  const { program, expansion } = study;
  const T = program.grid.cycles;
  const entries = [...program.entries.keys()].filter((e) => counts(program, e));
  const all = program.analysis.compare.map((s) => {
    const totals = program.accounts.map(() => 0);
    const absolute = program.accounts.map(() => 0);
    let lifeYears = 0;
    let leftAlive = 1;
    for (const { index, share } of program.groups) {
      const traced = evaluateReference(program, expansion, row, s, index);
      for (const e of entries) {
        const { account } = program.entries[e]!;
        for (let c = 0; c < T; c++) totals[account]! += share * traced.discounted[e * T + c]!;
        absolute[account]! += share * traced.absolute[e]!;
      }
      lifeYears += share * traced.lifeYears.reduce((sum, years) => sum + years, 0);
      leftAlive = Math.min(leftAlive, leastLeft(aliveAt(traced.membership, T)));
    }
    return { totals, absolute, lifeYears, leftAlive };
  });
  return {
    totals: all.map((one) => one.totals),
    absolute: all.map((one) => one.absolute),
    lifeYears: all.map((one) => one.lifeYears),
    leftAlive: all.map((one) => one.leftAlive),
  };
}

/** The living at boundaries 0 to cycles. */
function aliveAt(membership: Float64Array, cycles: number): readonly number[] {
  const width = membership.length / (cycles + 1);
  return Array.from({ length: cycles + 1 }, (_, c) =>
    membership.subarray(c * width, (c + 1) * width - 1).reduce((sum, share) => sum + share, 0),
  );
}

function leastLeft(alive: readonly number[]): number {
  return Math.min(1, ...alive.flatMap((people, c) => (c > 0 && alive[c - 1]! > 0 ? [people / alive[c - 1]!] : [])));
}

function counts(program: Program, e: number): boolean {
  const { analysis, accounts, entries } = program;
  const bearers = analysis.perspectives.find(({ name }) => name === analysis.perspective)!.bearers;
  const { account, bearer } = entries[e]!;
  return !accounts[account]!.isMoney || bearer === null || bearers === null || bearers.includes(bearer);
}

/**
 * People whom an event takes in several parts may leave a trace of rounding, on which a later event may act: an account
 * that holds nothing else holds less than this.
 */
const trace = 1e-11;

/**
 * Rounding of all starters, times what one event may add: a chance near 1 leaves a difference, so what rare events add up
 * to is known no better, by both.
 */
const rounding = 1e-15;
const moneyOfEvent = 1e4;

/**
 * Where outcomes of a row differ from the referee's by more than 1e-12 of the absolute sum; empty where they agree.
 * Where nearly everybody dies in a cycle, what is left is known only to 1e-15 of those who entered it, by both.
 */
export function disagreements(study: Study, outcomes: Outcomes, k: number, judgement: Judged): readonly string[] {
  const { strategies: S, accounts: A } = outcomes;
  const floors = study.program.accounts.map(({ isMoney }) => rounding * (isMoney ? moneyOfEvent : 1));
  const found: string[] = [];
  for (let s = 0; s < S; s++) {
    const lived = judgement.lifeYears[s]!;
    const tolerance = 1e-12 + 1e-15 / Math.max(1e-6, judgement.leftAlive[s]!);
    for (let a = 0; a < A; a++) {
      const total = outcomes.totals[(k * S + s) * A + a]!;
      const expected = judgement.totals[s]![a]!;
      const scale = judgement.absolute[s]![a]!;
      if (scale < trace && Math.abs(total) < trace) continue;
      if (!(Math.abs(total - expected) <= tolerance * scale + floors[a]!))
        found.push(`row ${k}, strategy ${s}, ${study.program.accounts[a]!.name}: ${total} is not ${expected}`);
    }
    const years = outcomes.lifeYears[k * S + s]!;
    if (!(Math.abs(years - lived) <= tolerance * lived))
      found.push(`row ${k}, strategy ${s}, life years: ${years} is not ${lived}`);
  }
  return found;
}

/** Runs all rows through the lanes and through the referee and lists where they differ. */
export function differences(study: Study, rows: Float64Array): readonly string[] {
  const width = study.program.components.length;
  const outcomes = evaluateRows(prepareRows(study.program, study.expansion), rows)!;
  return Array.from({ length: outcomes.rows }, (_, k) =>
    disagreements(study, outcomes, k, judged(study, rows.slice(k * width, (k + 1) * width))),
  ).flat();
}

/** The result of `run`, or the codes of the mistakes it throws. Anything else it throws is thrown on. */
export function attempted<T>(run: () => T): T | readonly string[] {
  try {
    return run();
  } catch (error) {
    if (error instanceof InputError) return error.findings.map(({ code }) => code);
    throw error;
  }
}

/** Values no sensible row holds: not finite, signed zeros, huge, tiny, subnormal, and a few that pass for ordinary. */
export const hostileNumbers: readonly number[] = [
  Number.NaN,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  0,
  -0,
  1,
  -1,
  1e308,
  -1e308,
  5e-324,
  -1e-310,
  1e-300,
  1e15,
  0.5,
  2,
];
