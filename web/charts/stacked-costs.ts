import type { ChartConfiguration } from "chart.js";
import type { CostPart } from "../../src/report/cost-differences.ts";
import { exactMoneyText, moneyText } from "../../src/report/format.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import type { Palette } from "../palette.ts";
import { nameAxis, numberAxis, tooltip } from "./axes.ts";
import { brokenName } from "./broken-name.ts";

/** Costs as parts that add up. */
export interface StackedCosts {
  readonly parts: readonly CostPart[];
  readonly strategies: readonly NamedStrategy[];
  readonly axis: string;
}

/** One bar for each strategy, cut into its parts. */
export function stackedCosts(
  { parts, strategies, axis }: StackedCosts,
  palette: Palette,
): ChartConfiguration<"bar", number[]> {
  return {
    type: "bar",
    data: {
      labels: strategies.map(({ label }) => [...brokenName(label)]),
      datasets: parts.map(({ label, amounts }, place) => ({
        label,
        data: strategies.map(({ id }) => amounts[id]!),
        backgroundColor: partTone(palette, place, parts.length),
        borderColor: palette.ground,
        borderWidth: { left: 0, right: 2, top: 0, bottom: 0 },
        borderSkipped: false,
        barPercentage: 0.6,
      })),
    },
    options: {
      indexAxis: "y",
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false, axis: "y" },
      scales: { x: numberAxis(palette, axis, moneyText, { stacked: true }), y: nameAxis(palette, true) },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          callbacks: { label: ({ dataset, parsed }) => `${dataset.label}: ${exactMoneyText(parsed.x ?? 0)}` },
        },
      },
    },
  };
}

/** How many parts have a tone of their own. */
export const mostParts = 8;

/** The tone of a part of the bars; few parts lie further apart. */
export function partTone(palette: Palette, place: number, count: number): string {
  const step = count * 2 <= palette.tones.length ? 2 : 1;
  return palette.tones[(place * step) % palette.tones.length]!;
}

/** The bars in a sentence. */
export function stackedCostsText({ parts, strategies, axis }: StackedCosts): string {
  const said = strategies.map(
    ({ id, label }) =>
      `${label}: ${parts.map((part) => `${part.label} ${exactMoneyText(part.amounts[id]!)}`).join(", ")}`,
  );
  return `${axis}. ${said.join(". ")}.`;
}
