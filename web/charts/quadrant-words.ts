import type { Plugin } from "chart.js";
import { chartFont } from "./axes.ts";

/**
 * Says at the upper and lower edges of a plane what lies there, where more means more on both axes beside the upright
 * zero line, so that a ray through the origin passes by; only where a quadrant is large enough to be read.
 */
export function quadrantWords(colour: string): Plugin {
  return {
    id: "quadrantWords",
    beforeDatasetsDraw({ ctx, chartArea: { left, right, top, bottom }, scales }) {
      const x = scales["x"]!.getPixelForValue(0);
      const y = scales["y"]!.getPixelForValue(0);
      ctx.save();
      ctx.fillStyle = colour;
      ctx.font = `italic ${chartFont.size}px ${chartFont.family}`;
      for (const [across, down] of [
        "costs more, yields less",
        "costs more, yields more",
        "saves, yields less",
        "saves, yields more",
      ].map((words, i) => [{ words, atLeft: i % 2 === 0 }, { atTop: i < 2 }] as const)) {
        const width = across.atLeft ? x - left : right - x;
        const height = down.atTop ? y - top : bottom - y;
        if (width < ctx.measureText(across.words).width + 16 || height < 34) continue;
        const isBesideRay = across.atLeft !== down.atTop;
        const atLeft = isBesideRay ? !across.atLeft : across.atLeft;
        const [from, to] = across.atLeft ? [left, x] : [x, right];
        ctx.textAlign = atLeft ? "left" : "right";
        ctx.textBaseline = down.atTop ? "top" : "bottom";
        ctx.fillText(across.words, atLeft ? from + 8 : to - 8, down.atTop ? top + 8 : bottom - 8);
      }
      ctx.restore();
    },
  };
}
