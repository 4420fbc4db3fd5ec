import type { Plugin } from "chart.js";
import type { Palette } from "../palette.ts";
import { chartFont } from "./axes.ts";

const words = "followed up";

/** Shades the first years of a chart over time, those in which the evidence followed people; nothing without them. */
export function followUp(years: number | null, palette: Palette): Plugin {
  return {
    id: "followUp",
    beforeDatasetsDraw({ ctx, chartArea: { left, right, top, bottom }, scales }) {
      if (years === null) return;
      const end = Math.min(scales["x"]!.getPixelForValue(years), right);
      ctx.save();
      ctx.globalAlpha = 0.55;
      ctx.fillStyle = palette.line;
      ctx.fillRect(left, top, end - left, bottom - top);
      ctx.globalAlpha = 1;
      ctx.font = `italic ${chartFont.size}px ${chartFont.family}`;
      ctx.fillStyle = palette.muted;
      ctx.textBaseline = "bottom";
      if (end - left > ctx.measureText(words).width + 12) ctx.fillText(words, left + 6, bottom - 6);
      ctx.restore();
    },
  };
}
