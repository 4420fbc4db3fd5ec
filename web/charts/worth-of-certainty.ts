import type { ChartConfiguration, ChartDataset } from "chart.js";
import { exactMoneyText, moneyText } from "../../src/report/format.ts";
import type { SureAnswer } from "../../src/report/sure-answer.ts";
import type { Palette } from "../palette.ts";
import { numberAxis, tooltip } from "./axes.ts";
import { thresholdLines } from "./threshold-lines.ts";

/** What it would be worth per person to know everything, by threshold. */
export interface WorthOfCertainty {
  readonly thresholds: readonly number[];
  readonly evpi: readonly number[];
  readonly evpiError: readonly (number | null)[];
  readonly asked: readonly number[];
  readonly currency: string;
  readonly perUnit: string;
}

type Points = { x: number; y: number }[];

/** The chart's data out of an answer. */
export function worthOfCertaintyOf(
  sure: SureAnswer,
  asked: readonly number[],
  currency: string,
  perUnit: string,
): WorthOfCertainty {
  return {
    thresholds: sure.acceptability.thresholds,
    evpi: sure.evpi,
    evpiError: sure.evpiError,
    asked,
    currency,
    perUnit,
  };
}

/** The expected value of perfect information by threshold, in a band of two Monte Carlo errors. */
export function worthOfCertainty(given: WorthOfCertainty, palette: Palette): ChartConfiguration<"line", Points> {
  const { thresholds, evpi, evpiError, asked } = given;
  const colour = palette.ink;
  const line = (side: number): Points =>
    thresholds.map((x, i) => ({ x, y: Math.max(0, evpi[i]! + side * 2 * (evpiError[i] ?? 0)) }));
  const edge = (side: number, fill: string | false): ChartDataset<"line", Points> => ({
    label: "",
    data: line(side),
    borderColor: "transparent",
    backgroundColor: `${colour}2E`,
    pointRadius: 0,
    pointHitRadius: 0,
    fill,
  });
  return {
    type: "line",
    data: {
      datasets: [
        {
          label: "Worth of certainty",
          data: line(0),
          borderColor: colour,
          borderWidth: 2,
          pointRadius: 0,
          pointHitRadius: 6,
        },
        edge(-1, false),
        edge(1, "-1"),
      ],
    },
    options: {
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false },
      scales: {
        x: numberAxis(palette, `Threshold, ${given.perUnit}`, moneyText, { min: 0, max: thresholds.at(-1) ?? 1 }),
        y: numberAxis(palette, `${given.currency} per person`, moneyText, { min: 0 }),
      },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          filter: ({ dataset }) => dataset.label !== "",
          callbacks: {
            title: (items) => `At ${moneyText(items[0]?.parsed.x ?? 0)}`,
            label: ({ parsed }) => `${exactMoneyText(parsed.y ?? 0)} ${given.currency} per person`,
          },
        },
      },
    },
    plugins: [thresholdLines(asked, palette)],
  };
}

/** The curve in a sentence. */
export function worthOfCertaintyText({ thresholds, evpi, asked, currency }: WorthOfCertainty): string {
  const parts = asked.map(
    (threshold) => `${exactMoneyText(evpi[thresholds.indexOf(threshold)] ?? 0)} at ${moneyText(threshold)}`,
  );
  return `Expected worth of knowing everything, ${currency} per person: ${parts.join(", ")}.`;
}
