import type { ChartConfiguration } from "chart.js";
import type { CostsAnswer } from "../../src/report/costs.ts";
import { exactMoneyText, moneyText } from "../../src/report/format.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import type { Palette } from "../palette.ts";
import { nameAxis, numberAxis, tooltip } from "./axes.ts";
import { brokenName } from "./broken-name.ts";

/** Discounted costs by who bears them. */
export interface CostsByBearer {
  readonly costs: Pick<CostsAnswer, "byBearer" | "currency">;
  readonly strategies: readonly NamedStrategy[];
}

/** One bar for each strategy, cut by who bears the money. */
export function costsByBearer(
  { costs, strategies }: CostsByBearer,
  palette: Palette,
): ChartConfiguration<"bar", number[]> {
  return {
    type: "bar",
    data: {
      labels: strategies.map(({ label }) => [...brokenName(label)]),
      datasets: costs.byBearer.map(({ bearer, discounted }, place) => ({
        label: bearer ?? "anybody",
        data: strategies.map(({ id }) => discounted[id]!),
        backgroundColor: bearerTone(palette, place),
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
      scales: {
        x: numberAxis(palette, `${costs.currency} per person, discounted`, moneyText, { stacked: true }),
        y: nameAxis(palette, true),
      },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          callbacks: { label: ({ dataset, parsed }) => `${dataset.label}: ${exactMoneyText(parsed.x ?? 0)}` },
        },
      },
    },
  };
}

/** The tone of a bearer's part of the bars. */
export function bearerTone(palette: Palette, place: number): string {
  return palette.tones[(place * 2) % palette.tones.length]!;
}

/** The bars in a sentence. */
export function costsByBearerText({ costs, strategies }: CostsByBearer): string {
  const parts = strategies.map(({ id, label }) => {
    const shares = costs.byBearer.map(
      ({ bearer, discounted }) => `${bearer ?? "anybody"} ${exactMoneyText(discounted[id]!)}`,
    );
    return `${label}: ${shares.join(", ")}`;
  });
  return `Who bears the costs, ${costs.currency} per person. ${parts.join(". ")}.`;
}
