import { capitalised, yearsText } from "./format.ts";
import { levelText } from "./level-text.ts";
import type { TextTable } from "./table-text.ts";
import type { CurveSeries } from "./works.ts";

/** A strategy as tables name it. */
export interface NamedStrategy {
  readonly id: string;
  readonly label: string;
}

const shownYears = [0, 0.5, 1, 2, 3, 5, 10, 20, 30, 40, 50, 75];

/** Which of the positions of a series stand in its table: round years, and the last. */
export function shownPositions(years: readonly number[]): readonly number[] {
  const last = years.length - 1;
  const round = shownYears.flatMap((year) => {
    const position = years.findIndex((one) => Math.abs(one - year) < 1e-9);
    return position < 0 || position === last ? [] : [position];
  });
  return last < 0 ? [] : [...round, last];
}

const timeHeader = (years: number): string => (years === 0 ? "At the start" : yearsText(years));

/** A curve as a table: one row per strategy, one column per round year. Where nobody is left the cell is empty. */
export function curveTable(series: CurveSeries, strategies: readonly NamedStrategy[]): TextTable {
  const positions = shownPositions(series.years);
  return {
    header: ["Strategy", ...positions.map((at) => timeHeader(series.years[at]!))],
    rows: strategies.map(({ id, label }) => [
      label,
      ...positions.map((at) => {
        const value = series.values[id]?.[at] ?? null;
        return value === null ? "" : levelText(value, series.unit);
      }),
    ]),
  };
}

/** The levels of one factor, and death, as series over time. */
export interface FactorMembership {
  readonly factor: string;
  readonly label: string;
  readonly levels: readonly (CurveSeries & { readonly level: string })[];
}

/**
 * The membership series by factor, death last in each; a series is named `factor.level` and labelled `factor: level`.
 * The factor in which most still happens after the first year comes first.
 */
export function membershipByFactor(membership: readonly CurveSeries[]): readonly FactorMembership[] {
  const dead = membership.filter(({ id }) => !id.includes("."));
  const names = [...new Set(membership.filter(({ id }) => id.includes(".")).map(({ id }) => id.split(".")[0]!))];
  const factors = names.map((factor): FactorMembership => {
    const own = membership.filter(({ id }) => id.startsWith(`${factor}.`));
    const levels = [...own, ...dead].map((series) => ({ ...series, level: series.label.split(": ").at(-1)! }));
    return { factor, label: factor.replaceAll("_", " "), levels };
  });
  const stir = new Map(factors.map((one) => [one, lateRise(one.levels.slice(0, -dead.length || undefined))]));
  return factors.sort((a, b) => stir.get(b)! - stir.get(a)!);
}

/** The largest rise of any level in any strategy after the first year. */
function lateRise(levels: readonly CurveSeries[]): number {
  let largest = 0;
  for (const { years, values } of levels) {
    const from = Math.max(
      0,
      years.findIndex((year) => year >= 1),
    );
    for (const line of Object.values(values)) {
      const early = line[from] ?? 0;
      for (const value of line.slice(from)) largest = Math.max(largest, (value ?? 0) - early);
    }
  }
  return largest;
}

/** A factor's membership as a table: one row per level and strategy, one column per round year, in percent of starters. */
export function membershipTable(factor: FactorMembership, strategies: readonly NamedStrategy[]): TextTable {
  const years = factor.levels[0]?.years ?? [];
  const positions = shownPositions(years);
  return {
    header: ["Where people are", "Strategy", ...positions.map((at) => timeHeader(years[at]!))],
    rows: factor.levels.flatMap((series) =>
      strategies.map(({ id, label }) => [
        capitalised(series.level),
        label,
        ...positions.map((at) => levelText(series.values[id]?.[at] ?? 0, "share")),
      ]),
    ),
  };
}
