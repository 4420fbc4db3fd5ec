import type { Plugin } from "chart.js";
import { moneyText } from "../../src/report/format.ts";
import type { Palette } from "../palette.ts";
import { middleThreshold } from "../thresholds.ts";
import { chartFont } from "./axes.ts";

const betweenLabels = 8;

/**
 * Which labels there is room for, the one to be read first before all others; a label that would touch another is left
 * out, since the axis still tells its place.
 */
export function roomFor(
  spans: readonly { readonly from: number; readonly to: number }[],
  first: number,
  right: number,
): readonly number[] {
  const order = [...spans.keys()].sort((a, b) => Number(b === first) - Number(a === first) || a - b);
  const taken: number[] = [];
  for (const i of order) {
    const { from, to } = spans[i]!;
    const isFree = taken.every((j) => from >= spans[j]!.to + betweenLabels || to + betweenLabels <= spans[j]!.from);
    if (isFree && to <= right) taken.push(i);
  }
  return taken;
}

/** Labelled upright lines at the scenario's thresholds. */
export function thresholdLines(thresholds: readonly number[], palette: Palette): Plugin {
  return {
    id: "thresholdLines",
    beforeDatasetsDraw({ ctx, chartArea: { top, bottom, left, right }, scales }) {
      ctx.save();
      ctx.font = `${chartFont.size}px ${chartFont.family}`;
      ctx.fillStyle = palette.muted;
      ctx.strokeStyle = palette.zero;
      ctx.setLineDash([1, 3]);
      ctx.textBaseline = "top";
      const lines = thresholds.flatMap((threshold) => {
        const x = scales["x"]!.getPixelForValue(threshold);
        return x < left || x > right ? [] : [{ threshold, text: moneyText(threshold), x }];
      });
      for (const { x } of lines) {
        ctx.beginPath();
        ctx.moveTo(x, top);
        ctx.lineTo(x, bottom);
        ctx.stroke();
      }
      const spans = lines.map(({ text, x }) => ({ from: x + 4, to: x + 4 + ctx.measureText(text).width }));
      const first = lines.findIndex(({ threshold }) => threshold === middleThreshold(thresholds));
      for (const i of roomFor(spans, first, right)) ctx.fillText(lines[i]!.text, spans[i]!.from, top + 2);
      ctx.restore();
    },
  };
}
