import type { Plugin } from "chart.js";
import { moneyText } from "../../src/report/format.ts";
import type { Palette } from "../palette.ts";
import { chartFont } from "./axes.ts";

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
      let free = Number.NEGATIVE_INFINITY;
      for (const threshold of thresholds) {
        const x = scales["x"]!.getPixelForValue(threshold);
        if (x < left || x > right) continue;
        ctx.beginPath();
        ctx.moveTo(x, top);
        ctx.lineTo(x, bottom);
        ctx.stroke();
        const text = moneyText(threshold);
        const width = ctx.measureText(text).width;
        // a label that would touch the one before it is left out; the axis still tells its place
        if (x + 4 < free || x + 4 + width > right) continue;
        ctx.fillText(text, x + 4, top + 2);
        free = x + 12 + width;
      }
      ctx.restore();
    },
  };
}
