import type { Plugin } from "chart.js";
import { chartFont } from "./axes.ts";

/** Says in the corners of a plane what lies there; only where a quadrant is large enough to be read. */
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
        ctx.textAlign = across.atLeft ? "left" : "right";
        ctx.textBaseline = down.atTop ? "top" : "bottom";
        ctx.fillText(across.words, across.atLeft ? left + 8 : right - 8, down.atTop ? top + 8 : bottom - 8);
      }
      ctx.restore();
    },
  };
}
