import type { ChartConfiguration } from "chart.js";
import { exactMoneyText, moneyText } from "../../src/report/format.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import { type Palette, strategyStroke } from "../palette.ts";
import { nameAxis, numberAxis, tooltip } from "./axes.ts";
import { brokenName } from "./broken-name.ts";

/** Lines of costs, each with an amount by strategy: amounts themselves, or differences from a reference. */
export interface CostsByLine {
  readonly lines: readonly { readonly label: string; readonly amounts: Readonly<Record<string, number>> }[];
  /** All strategies in the scenario's order, so that each keeps its colour. */
  readonly strategies: readonly NamedStrategy[];
  readonly axis: string;
}

/** Bars side by side, one group for each line of costs, one bar for each strategy that has amounts. */
export function costsByLine(
  { lines, strategies, axis }: CostsByLine,
  palette: Palette,
): ChartConfiguration<"bar", number[]> {
  return {
    type: "bar",
    data: {
      labels: lines.map(({ label }) => [...brokenName(label)]),
      datasets: withAmounts(strategies, lines).map(({ id, label, order }) => ({
        label,
        data: lines.map(({ amounts }) => amounts[id]!),
        backgroundColor: strategyStroke(palette, order).colour,
        barPercentage: 0.86,
        categoryPercentage: 0.72,
      })),
    },
    options: {
      indexAxis: "y",
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false, axis: "y" },
      scales: { x: numberAxis(palette, axis, moneyText), y: nameAxis(palette) },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          callbacks: { label: ({ dataset, parsed }) => `${dataset.label}: ${exactMoneyText(parsed.x ?? 0)}` },
        },
      },
    },
  };
}

/** The bars in a sentence: the largest line of each strategy. */
export function costsByLineText({ lines, strategies, axis }: CostsByLine): string {
  const parts = withAmounts(strategies, lines).map(({ id, label }) => {
    const largest = lines.toSorted((a, b) => Math.abs(b.amounts[id]!) - Math.abs(a.amounts[id]!))[0];
    return largest === undefined
      ? label
      : `${label}: most in ${largest.label}, ${exactMoneyText(largest.amounts[id]!)}`;
  });
  return `${axis}, ${lines.length} lines. ${parts.join(". ")}.`;
}

function withAmounts(
  strategies: readonly NamedStrategy[],
  lines: CostsByLine["lines"],
): readonly (NamedStrategy & { readonly order: number })[] {
  return strategies
    .map((strategy, order) => ({ ...strategy, order }))
    .filter(({ id }) => lines.every(({ amounts }) => amounts[id] !== undefined));
}
