import type { StrategyResult } from "../analysis/base-case.ts";
import { accountTotal, binned, entriesOf, entryTotal, reportYears } from "../analysis/totals.ts";
import type { Program } from "../compile/program.ts";
import { type PerThousand, resourceRows } from "./compared.ts";
import { listText, moneyText, yearsText } from "./format.ts";

/** One line of the cost account as one bearer sees it, per starter. */
export interface CostLine {
  readonly line: string;
  readonly label: string;
  readonly bearer: string | null;
  /** Whether the scenario's perspective holds the line. */
  readonly counted: boolean;
  readonly discounted: Readonly<Record<string, number>>;
  readonly undiscounted: Readonly<Record<string, number>>;
}

/** The answer to "What does it cost?". */
export interface CostsAnswer {
  readonly headline: string;
  readonly currency: string;
  readonly priceYear: number | null;
  readonly perspective: string;
  readonly total: Readonly<Record<string, number>>;
  readonly undiscounted: Readonly<Record<string, number>>;
  /** Lines on which some pathway spends; all of them where none does. */
  readonly lines: readonly CostLine[];
  readonly byBearer: readonly {
    readonly bearer: string | null;
    readonly discounted: Readonly<Record<string, number>>;
  }[];
  /** Discounted totals by then; null where the counting rule has no meaning before the horizon. */
  readonly at: readonly { readonly years: number; readonly values: Readonly<Record<string, number>> }[] | null;
  /** Undiscounted amounts of each year and of each month of the first five years, in the perspective. */
  readonly yearly: Readonly<Record<string, readonly number[]>>;
  readonly monthly: Readonly<Record<string, readonly number[]>>;
  readonly resources: readonly PerThousand[];
}

const monthsShown = 60;

/** Costs by line, by bearer and over time, and the resources behind them. */
export function costsAnswer(program: Program, results: readonly StrategyResult[]): CostsAnswer {
  const { analysis, grid } = program;
  const { cost, perspective } = analysis;
  const perStrategy = <T>(value: (result: StrategyResult) => T): Readonly<Record<string, T>> =>
    Object.fromEntries(results.map((result) => [result.id, value(result)]));
  const counted = entriesOf(program, cost, perspective);
  const entries = program.entries.flatMap((entry, index) => (entry.account === cost ? [{ entry, index }] : []));
  const total = perStrategy(({ mixed }) => accountTotal(program, mixed, cost));
  const lines = entries.map(
    ({ entry, index }): CostLine => ({
      line: entry.line,
      label: entry.label,
      bearer: entry.bearer,
      counted: counted.includes(index),
      discounted: perStrategy(({ mixed }) => entryTotal(program, mixed, index)),
      undiscounted: perStrategy(({ mixed }) => entryTotal(program, mixed, index, "raw")),
    }),
  );
  // a line of a pathway that is not compared, or of what nobody uses, says nothing
  const spent = lines.filter(({ undiscounted }) => Object.values(undiscounted).some((amount) => amount !== 0));
  const bearers = [...new Set(entries.map(({ entry }) => entry.bearer))];
  const listed = results.map((result) => `${result.called} ${moneyText(total[result.id]!)}`);
  return {
    headline: `Per person over ${yearsText(analysis.horizonYears)}, ${perspective === "all" ? "all costs counted" : `as the ${perspective} sees it`}, in ${analysis.currency}: ${listText(listed)}.`,
    currency: analysis.currency,
    priceYear: analysis.priceYear,
    perspective,
    total,
    undiscounted: perStrategy(({ mixed }) => accountTotal(program, mixed, cost, perspective, "raw")),
    lines: spent.length > 0 ? spent : lines,
    byBearer: bearers.map((bearer) => ({
      bearer,
      discounted: perStrategy(({ mixed }) =>
        entries
          .filter(({ entry }) => entry.bearer === bearer)
          .reduce((sum, { index }) => sum + entryTotal(program, mixed, index), 0),
      ),
    })),
    at:
      analysis.counting.rule === "boundary"
        ? null
        : reportYears(program).map((years) => ({
            years,
            values: perStrategy(({ mixed }) =>
              accountTotal(program, mixed, cost, perspective, "discounted", Math.round(years * grid.cyclesPerYear)),
            ),
          })),
    yearly: perStrategy(({ mixed }) => binned(program, mixed, counted, grid.cyclesPerYear)),
    monthly: perStrategy(({ mixed }) => binned(program, mixed, counted, grid.cyclesPerYear / 12).slice(0, monthsShown)),
    resources: resourceRows(program, results),
  };
}
