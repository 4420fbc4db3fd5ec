import type { Chart, Plugin } from "chart.js";
import { chartFont } from "./axes.ts";
import { narrowestForLabels, spread } from "./end-labels.ts";

const away = 12;

/** Writes the name of each dataset that is a single point beside that point, on a strip of the ground's colour. */
export function pointLabels(ground: string): Plugin {
  return {
    id: "pointLabels",
    afterDatasetsDraw(chart: Chart) {
      const { ctx, chartArea, width } = chart;
      if (width < narrowestForLabels) return;
      ctx.save();
      ctx.font = `600 ${chartFont.size}px ${chartFont.family}`;
      const labels = chart.data.datasets.flatMap((set, i) => {
        const [point] = chart.getDatasetMeta(i).data;
        if (set.data.length !== 1 || point === undefined || (set.label ?? "") === "") return [];
        const text = set.label!;
        const hasRoom = point.x + away + ctx.measureText(text).width < chartArea.right;
        return [{ text, lines: [text], colour: String(set.backgroundColor), x: point.x, y: point.y, hasRoom }];
      });
      spread(labels, chartArea.bottom);
      ctx.textBaseline = "middle";
      for (const { text, colour, x, y, hasRoom } of labels) {
        ctx.textAlign = hasRoom ? "left" : "right";
        const at = hasRoom ? x + away : x - away;
        const { width: length } = ctx.measureText(text);
        ctx.globalAlpha = 0.85;
        ctx.fillStyle = ground;
        ctx.fillRect(hasRoom ? at - 3 : at - length - 3, y - 9, length + 6, 18);
        ctx.globalAlpha = 1;
        ctx.fillStyle = colour;
        ctx.fillText(text, at, y);
      }
      ctx.restore();
    },
  };
}
