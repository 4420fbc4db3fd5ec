import type { ChartConfiguration } from "chart.js";
import { yearsText } from "../../src/report/format.ts";
import { levelText, levelWithUnit, wholeText } from "../../src/report/level-text.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import type { CurveSeries } from "../../src/report/works.ts";
import { type Palette, strategyStroke } from "../palette.ts";
import { numberAxis, tooltip } from "./axes.ts";
import { endLabels } from "./end-labels.ts";
import { followUp } from "./follow-up.ts";

/** What the chart shows: one curve for each strategy, up to `untilYears`. */
export interface CurveOverTime {
  readonly series: CurveSeries;
  readonly strategies: readonly NamedStrategy[];
  readonly untilYears: number;
  /** How long the evidence followed people; null where that is not said. */
  readonly followUpYears: number | null;
}

/** A curve over time, one line per strategy with its name at the end and a marker at some of the points. */
export function curveOverTime(
  { series, strategies, untilYears, followUpYears }: CurveOverTime,
  palette: Palette,
): ChartConfiguration<"line", { x: number; y: number }[]> {
  const shown = series.years.flatMap((year, at) => (year <= untilYears + 1e-9 ? [at] : []));
  return {
    type: "line",
    data: {
      datasets: strategies.map(({ id, label }, order) => {
        const { colour, dash, marker } = strategyStroke(palette, order);
        const line = series.values[id] ?? [];
        const points = shown.flatMap((at) => {
          const y = line[at] ?? null;
          return y === null ? [] : [{ x: series.years[at]!, y }];
        });
        return {
          label,
          data: points,
          borderColor: colour,
          backgroundColor: colour,
          borderDash: [...dash],
          borderWidth: 2,
          pointStyle: marker,
          pointRadius: points.map((_, i) => (isMarked(i, points.length, order) ? 4 : 0)),
          pointHitRadius: 8,
        };
      }),
    },
    options: {
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false },
      scales: {
        x: numberAxis(palette, "Years since the start", wholeText, { min: 0, max: untilYears }),
        y: numberAxis(palette, axisTitle(series), (value) => levelText(value, series.unit), { grace: "4%" }),
      },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          callbacks: {
            title: (items) => `After ${yearsText(items[0]?.parsed.x ?? 0)}`,
            label: ({ dataset, parsed }) => `${dataset.label}: ${levelWithUnit(parsed.y ?? 0, series.unit)}`,
          },
        },
      },
    },
    plugins: [endLabels, followUp(followUpYears, palette)],
  };
}

/** The curve in a sentence, for those who cannot see it. */
export function curveOverTimeText({ series, strategies, untilYears }: CurveOverTime): string {
  const last = series.years.findLastIndex((year) => year <= untilYears + 1e-9);
  const lines = strategies.map(({ id, label }) => {
    const values = (series.values[id] ?? []).slice(0, last + 1).filter((value) => value !== null);
    const [first = 0] = values;
    const text = (value: number): string => levelWithUnit(value, series.unit);
    return `${label}: ${text(first)} at the start, between ${text(Math.min(...values))} and ${text(Math.max(...values))}, ${text(values.at(-1) ?? first)} after ${yearsText(untilYears)}`;
  });
  return `${series.label} over time. ${lines.join(". ")}.`;
}

/** The name of what a curve shows, with its unit. */
export function axisTitle({ label, unit }: CurveSeries): string {
  if (unit === "share") return `${label}, of those who started`;
  return unit === "" ? label : `${label}, ${unit}`;
}

/** About eight markers on a line, set off from those of the other strategies. */
function isMarked(i: number, count: number, order: number): boolean {
  const step = Math.max(1, Math.floor(count / 8));
  return i % step === Math.floor((order * step) / 3) % step;
}
