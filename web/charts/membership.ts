import type { ChartConfiguration } from "chart.js";
import { shareText, yearsText } from "../../src/report/format.ts";
import { wholeText } from "../../src/report/level-text.ts";
import type { FactorMembership } from "../../src/report/time-tables.ts";
import type { Palette } from "../palette.ts";
import { numberAxis, tooltip } from "./axes.ts";

/** Where the people of one strategy are over time, by the levels of one factor. */
export interface Membership {
  readonly factor: FactorMembership;
  readonly strategy: string;
}

/** Shares of the starters over time as areas that add up to all of them, the dead on top. */
export function membership(
  { factor, strategy }: Membership,
  palette: Palette,
): ChartConfiguration<"line", { x: number; y: number }[]> {
  const horizon = factor.levels[0]?.years.at(-1) ?? 1;
  return {
    type: "line",
    data: {
      datasets: factor.levels.map((series, place) => ({
        label: series.level,
        data: (series.values[strategy] ?? []).map((value, at) => ({ x: series.years[at]!, y: value ?? 0 })),
        backgroundColor: toneOf(palette, place, factor.levels.length),
        borderColor: palette.ground,
        borderWidth: 1,
        pointRadius: 0,
        pointHitRadius: 6,
        fill: place === 0 ? "origin" : "-1",
      })),
    },
    options: {
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false },
      scales: {
        x: numberAxis(palette, "Years", wholeText, { min: 0, max: horizon }),
        y: numberAxis(palette, "Share of starters", shareText, { min: 0, max: 1, stacked: true }),
      },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          callbacks: {
            title: (items) => `After ${yearsText(items[0]?.parsed.x ?? 0)}`,
            label: ({ dataset, parsed }) => `${dataset.label}: ${shareText(parsed.y ?? 0)}`,
          },
        },
      },
    },
  };
}

/** The tone of a level: the dead, who come last, in the faintest. */
export function toneOf(palette: Palette, place: number, count: number): string {
  if (place === count - 1) return palette.line;
  return palette.tones[place % palette.tones.length]!;
}

/** The areas in a sentence. */
export function membershipText({ factor, strategy }: Membership, label: string): string {
  const years = factor.levels[0]?.years.at(-1) ?? 0;
  const parts = factor.levels.map((series) => {
    const line = series.values[strategy] ?? [];
    return `${series.level} ${shareText(line[0] ?? 0)} at the start and ${shareText(line.at(-1) ?? 0)} after ${yearsText(years)}`;
  });
  return `Where people are, ${label}, by ${factor.label}: ${parts.join("; ")}.`;
}
