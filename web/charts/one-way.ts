import type { ChartConfiguration, Plugin } from "chart.js";
import { exactMoneyText, moneyText } from "../../src/report/format.ts";
import type { OneWayBar, OneWayBars } from "../../src/report/one-way-bars.ts";
import type { Palette } from "../palette.ts";
import { chartFont, nameAxis, numberAxis, tooltip } from "./axes.ts";
import { shortName } from "./broken-name.ts";
import { roundExtent } from "./extent.ts";

/** What the chart shows: the longest bars, from the lowest to the highest net benefit. */
export interface OneWayChart {
  readonly shown: OneWayBars;
  /** The strategy whose net benefit it is, and its colour. */
  readonly label: string;
  readonly colour: (palette: Palette) => string;
  readonly axis: string;
  /** Whether there is room for names only in short lines. */
  readonly isNarrow: boolean;
}

/** Height in pixels for a bar with its name. */
export function oneWayBarHeight(isNarrow: boolean): number {
  return isNarrow ? 54 : 38;
}

/** One bar for each input, the longest on top, with a line at the base case. */
export function oneWayChart(
  { shown, colour, axis, isNarrow }: OneWayChart,
  palette: Palette,
): ChartConfiguration<"bar", [number, number][]> {
  const { base, bars } = shown;
  const [nameWidth, nameLines] = isNarrow ? [20, 3] : [34, 2];
  const fill = colour(palette);
  const values = bars.flatMap(({ low, high }) => [low.netBenefit, high.netBenefit]);
  return {
    type: "bar",
    data: {
      labels: bars.map(({ label }) => [...shortName(label, nameWidth, nameLines)]),
      datasets: [
        {
          label: "",
          data: bars.map(({ low, high }) => [low.netBenefit, high.netBenefit]),
          backgroundColor: fill,
          barPercentage: 0.6,
          // an input that moves nothing is still a line
          minBarLength: 2,
        },
      ],
    },
    options: {
      indexAxis: "y",
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: "index", intersect: false, axis: "y" },
      scales: { x: numberAxis(palette, axis, moneyText, roundExtent([...values, base])), y: nameAxis(palette) },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          callbacks: {
            label: ({ dataIndex }) => {
              const { low, high } = bars[dataIndex]!;
              return [low, high].map((end) => `${exactMoneyText(end.netBenefit)} at ${end.text}`);
            },
          },
        },
      },
    },
    plugins: [baseLine(base, palette)],
  };
}

/** An upright line at the base case, with its name. */
function baseLine(base: number, palette: Palette): Plugin {
  return {
    id: "baseLine",
    beforeLayout(chart) {
      chart.options.layout = { padding: { left: 0, right: 8, bottom: 0, top: 20 } };
    },
    afterDatasetsDraw({ ctx, chartArea: { top, bottom, left, right }, scales }) {
      const x = scales["x"]!.getPixelForValue(base);
      const text = `base values: ${moneyText(base)}`;
      ctx.save();
      ctx.strokeStyle = palette.ink;
      ctx.setLineDash([2, 2]);
      ctx.beginPath();
      ctx.moveTo(x, top - 2);
      ctx.lineTo(x, bottom);
      ctx.stroke();
      ctx.font = `${chartFont.size}px ${chartFont.family}`;
      ctx.fillStyle = palette.muted;
      ctx.textBaseline = "bottom";
      const half = ctx.measureText(text).width / 2;
      ctx.textAlign = "center";
      ctx.fillText(text, Math.min(Math.max(x, left + half), right - half), top - 4);
      ctx.restore();
    },
  };
}

/** The bars in a sentence. */
export function oneWayChartText({ shown, label, axis }: OneWayChart): string {
  const said = (bar: OneWayBar): string =>
    `${bar.label}: ${exactMoneyText(bar.low.netBenefit)} at ${bar.low.text} to ${exactMoneyText(bar.high.netBenefit)} at ${bar.high.text}`;
  return `${axis}, ${label}; base values ${exactMoneyText(shown.base)}. ${shown.bars.map(said).join(". ")}.`;
}
