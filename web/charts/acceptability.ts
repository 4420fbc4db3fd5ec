import type { ChartConfiguration, ChartDataset } from "chart.js";
import { moneyText, shareText } from "../../src/report/format.ts";
import type { SureAnswer } from "../../src/report/sure-answer.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import { type Palette, strategyStroke } from "../palette.ts";
import { numberAxis, tooltip } from "./axes.ts";
import { endLabels } from "./end-labels.ts";
import { thresholdLines } from "./threshold-lines.ts";

/** How often each strategy is best, by threshold. */
export interface AcceptabilityCurves {
  readonly acceptability: SureAnswer["acceptability"];
  readonly strategies: readonly NamedStrategy[];
  readonly asked: readonly number[];
  readonly perUnit: string;
}

type Points = { x: number; y: number }[];

/** One curve per strategy, and under them, broad and pale, the frontier: the curve of the one to choose. */
export function acceptabilityCurves(
  { acceptability, strategies, asked, perUnit }: AcceptabilityCurves,
  palette: Palette,
): ChartConfiguration<"line", Points> {
  const { thresholds, curves, frontier } = acceptability;
  const points = (line: readonly number[]): Points => thresholds.map((x, i) => ({ x, y: line[i]! }));
  const datasets: ChartDataset<"line", Points>[] = strategies.map(({ id, label }, order) => {
    const { colour, dash, marker } = strategyStroke(palette, order);
    return {
      label,
      data: points(curves[id] ?? []),
      borderColor: colour,
      backgroundColor: colour,
      borderDash: [...dash],
      borderWidth: 2,
      pointStyle: marker,
      pointRadius: thresholds.map((_, i) => (i % 8 === (order * 2) % 8 ? 4 : 0)),
      pointHitRadius: 6,
    };
  });
  datasets.push({
    label: "",
    data: points(frontier),
    borderColor: palette.line,
    borderWidth: 12,
    borderCapStyle: "round",
    borderJoinStyle: "round",
    pointRadius: 0,
    pointHitRadius: 0,
    order: 9,
  });
  return {
    type: "line",
    data: { datasets },
    options: {
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false },
      scales: {
        x: numberAxis(palette, `Threshold, ${perUnit}`, moneyText, { min: 0, max: thresholds.at(-1) ?? 1 }),
        y: numberAxis(palette, "Share of draws in which it is best", shareText, { min: 0, max: 1 }),
      },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          filter: ({ dataset }) => dataset.label !== "",
          callbacks: {
            title: (items) => `At ${moneyText(items[0]?.parsed.x ?? 0)}`,
            label: ({ dataset, parsed }) => `${dataset.label}: ${shareText(parsed.y ?? 0)}`,
          },
        },
      },
    },
    plugins: [endLabels, thresholdLines(asked, palette)],
  };
}

/** The curves in a sentence. */
export function acceptabilityText({ acceptability, strategies, asked, perUnit }: AcceptabilityCurves): string {
  const { thresholds, best, frontier } = acceptability;
  const parts = asked.map((threshold) => {
    const at = thresholds.indexOf(threshold);
    const label = strategies.find(({ id }) => id === best[at])?.label ?? "";
    return `at ${moneyText(threshold)} ${label}, best in ${shareText(frontier[at] ?? 0)}`;
  });
  return `Share of draws in which each pathway is best, by threshold in ${perUnit}. To choose: ${parts.join("; ")}.`;
}
