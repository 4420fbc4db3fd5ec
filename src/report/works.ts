import type { StrategyResult } from "../analysis/base-case.ts";
import { accountTotal, lifeYears, reportYears } from "../analysis/totals.ts";
import type { Program } from "../compile/program.ts";
import type { JointState } from "../compile/states.ts";
import { capitalised, countText, effectText, yearsText } from "./format.ts";
import { wordsOf } from "./words.ts";

/** A value over time, one list per strategy. */
export interface CurveSeries {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly years: readonly number[];
  readonly values: Readonly<Record<string, readonly (number | null)[]>>;
}

/** Totals of an account by year. */
export interface AccountRow {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly discounted: boolean;
  readonly at: readonly { readonly years: number; readonly values: Readonly<Record<string, number>> }[];
}

/** The answer to "Does it work as well?". */
export interface WorksAnswer {
  readonly headline: string;
  readonly curves: readonly CurveSeries[];
  /** Share of the starters in each level of each factor, and dead, at the end of each year. */
  readonly membership: readonly CurveSeries[];
  readonly accounts: readonly AccountRow[];
  readonly lifeYears: Readonly<Record<string, number>>;
}

/** Curves over time, who is where, events, life years and effects by year. */
export function worksAnswer(
  program: Program,
  results: readonly StrategyResult[],
  states: readonly JointState[],
): WorksAnswer {
  const { analysis, grid } = program;
  const perStrategy = <T>(value: (result: StrategyResult) => T): Readonly<Record<string, T>> =>
    Object.fromEntries(results.map((result) => [result.id, value(result)]));
  const boundaries = Array.from({ length: grid.cycles + 1 }, (_, c) => c);
  const years = boundaries.map((c) => c / grid.cyclesPerYear);
  const boundaryRule = analysis.counting.rule === "boundary";
  const effectAccounts = program.accounts.filter((account) => !account.isMoney);
  return {
    headline: worksHeadline(program, results),
    curves: program.curves.map((curve, k) => ({
      id: curve.name,
      label: curve.label,
      unit: curve.unit,
      years,
      values: perStrategy(({ mixed }) =>
        boundaries.map((c) => {
          const value = mixed.curves[k * (grid.cycles + 1) + c]!;
          return Number.isFinite(value) ? value : null;
        }),
      ),
    })),
    membership: membershipSeries(program, results, states),
    accounts: effectAccounts.map((account) => ({
      id: account.name,
      label: account.label,
      unit: account.unit,
      discounted: account.discount !== "none" && analysis.discount[account.discount].some(({ rate }) => rate !== 0),
      at: (boundaryRule ? [analysis.horizonYears] : reportYears(program)).map((horizon) => ({
        years: horizon,
        values: perStrategy(({ mixed }) =>
          accountTotal(
            program,
            mixed,
            account.index,
            analysis.perspective,
            "discounted",
            Math.round(horizon * grid.cyclesPerYear),
          ),
        ),
      })),
    })),
    lifeYears: perStrategy(({ mixed }) => lifeYears(program, mixed)),
  };
}

function membershipSeries(
  program: Program,
  results: readonly StrategyResult[],
  states: readonly JointState[],
): readonly CurveSeries[] {
  const { grid, factors } = program;
  const step = Math.max(1, Math.round(grid.cyclesPerYear));
  const shown = Array.from({ length: Math.floor(grid.cycles / step) + 1 }, (_, i) => i * step);
  const years = shown.map((c) => c / grid.cyclesPerYear);
  const width = states.length + 1;
  const series = (id: string, label: string, member: (state: number) => boolean): CurveSeries => ({
    id,
    label,
    unit: "share",
    years,
    values: Object.fromEntries(
      results.map(({ id: strategy, mixed }) => [
        strategy,
        shown.map((c) => {
          let sum = 0;
          for (let i = 0; i < width; i++) if (member(i)) sum += mixed.membership[c * width + i]!;
          return sum;
        }),
      ]),
    ),
  });
  const levels = factors.flatMap((factor) =>
    factor.levels.map((level, index) =>
      series(
        `${factor.name}.${level.name}`,
        `${factor.name.replaceAll("_", " ")}: ${level.label}`,
        (i) => i < width - 1 && states[i]!.levels[factor.index] === index,
      ),
    ),
  );
  return [...levels, series("dead", program.deathLabel, (i) => i === width - 1)];
}

function worksHeadline(program: Program, results: readonly StrategyResult[]): string {
  const { analysis } = program;
  const words = wordsOf(program);
  const reference = results.find(({ strategy }) => strategy === analysis.reference)!;
  const effect = (result: StrategyResult): number => accountTotal(program, result.mixed, analysis.effect);
  const sentences = results
    .filter((result) => result !== reference)
    .map((result) => {
      const gain = effect(result) - effect(reference);
      const counted = program.accounts
        .filter((account) => !account.isMoney && account.unit === "case")
        .map((account) => {
          const avoided =
            1000 *
            (accountTotal(program, reference.mixed, account.index) -
              accountTotal(program, result.mixed, account.index));
          return { label: account.label.toLowerCase(), avoided };
        });
      const largest = counted.filter(({ avoided }) => avoided > 0.5).sort((a, b) => b.avoided - a.avoided)[0];
      const more =
        Math.abs(gain) < 5e-5
          ? "as much"
          : `${effectText(Math.abs(gain))} ${words.effect} ${gain > 0 ? "more" : "less"}`;
      const event =
        largest === undefined ? "" : `; of 1,000 people ${countText(largest.avoided)} fewer ${largest.label}`;
      return `${result.called} yields ${more} ${more === "as much" ? "as" : "than"} ${reference.called}${event}`;
    });
  if (sentences.length === 0)
    return `${capitalised(reference.called)} yields ${effectText(effect(reference))} ${words.effect} per person over ${yearsText(analysis.horizonYears)}.`;
  return `Per person over ${yearsText(analysis.horizonYears)}, ${sentences.map((text, i) => (i === 0 ? text : capitalised(text))).join(". ")}.`;
}
