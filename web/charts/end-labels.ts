import type { Chart, Plugin } from "chart.js";
import { chartFont } from "./axes.ts";
import { brokenName } from "./broken-name.ts";

const lineHeight = 16;
const gap = 8;
/** Below this width names beside the lines would leave no room for the lines; the page then shows a key instead. */
export const narrowestForLabels = 480;

interface EndLabel {
  readonly lines: readonly string[];
  readonly colour: string;
  readonly x: number;
  readonly anchor: number;
  y: number;
}

/** Moves labels down, then up from the floor, until none overlap; their order by height stays. */
export function spread(labels: readonly { y: number; readonly lines: readonly string[] }[], floor: number): void {
  const sorted = [...labels].sort((a, b) => a.y - b.y);
  const half = (label: { readonly lines: readonly string[] }): number => (label.lines.length * lineHeight) / 2 + 2;
  for (const [i, label] of sorted.entries()) {
    const above = sorted[i - 1];
    if (above !== undefined) label.y = Math.max(label.y, above.y + half(above) + half(label));
  }
  let lowest = floor;
  for (const label of sorted.toReversed()) {
    label.y = Math.min(label.y, lowest - half(label));
    lowest = label.y - half(label);
  }
}

const named = (chart: Chart): readonly number[] =>
  chart.data.datasets.flatMap((set, i) => ((set.label ?? "") === "" || set.data.length < 2 ? [] : [i]));

/** Writes each named dataset's name at the end of its line, in the line's colour, and keeps room for it. */
export const endLabels: Plugin = {
  id: "endLabels",
  beforeLayout(chart) {
    const { ctx, width } = chart;
    ctx.font = `${chartFont.size}px ${chartFont.family}`;
    const texts = named(chart).flatMap((i) => brokenName(chart.data.datasets[i]!.label!));
    const widest = Math.max(0, ...texts.map((text) => ctx.measureText(text).width));
    const right = width < narrowestForLabels ? gap : widest + 2 * gap + 8;
    chart.options.layout = { padding: { left: 0, top: 12, bottom: 0, right } };
  },
  afterDatasetsDraw(chart) {
    const { ctx, chartArea, width } = chart;
    if (width < narrowestForLabels) return;
    const labels = named(chart).flatMap((i): EndLabel[] => {
      const points = chart.getDatasetMeta(i).data.filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
      const end = points.filter(({ x }) => x <= chartArea.right + 1).at(-1);
      if (end === undefined) return [];
      const set = chart.data.datasets[i]!;
      const colour = String(set.borderColor);
      const y = Math.min(Math.max(end.y, chartArea.top), chartArea.bottom);
      return [{ lines: brokenName(set.label!), colour, x: chartArea.right + 2 * gap, anchor: y, y }];
    });
    spread(labels, chartArea.bottom + 4);
    ctx.save();
    ctx.font = `${chartFont.size}px ${chartFont.family}`;
    ctx.textBaseline = "middle";
    for (const { lines, colour, x, anchor, y } of labels) {
      ctx.strokeStyle = colour;
      ctx.fillStyle = colour;
      ctx.lineWidth = 1;
      ctx.beginPath();
      ctx.moveTo(chartArea.right + 2, anchor);
      ctx.lineTo(x - 3, y);
      ctx.stroke();
      for (const [i, line] of lines.entries()) ctx.fillText(line, x, y + (i - (lines.length - 1) / 2) * lineHeight);
    }
    ctx.restore();
  },
};
