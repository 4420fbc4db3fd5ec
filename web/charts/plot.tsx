import { effect } from "@preact/signals";
import type { ChartConfiguration } from "chart.js";
import { useEffect, useRef } from "preact/hooks";
import type { Palette } from "../palette.ts";
import { palette } from "../theme.ts";
import { Chart } from "./registry.ts";

/** A chart on the page: its shape, what it says in words, and how it is drawn in the colours in force. */
export interface PlotProps {
  readonly alternative: string;
  // biome-ignore lint/suspicious/noExplicitAny: the chart library's configurations are invariant in type and data
  readonly draw: (colours: Palette) => ChartConfiguration<any, any>;
  readonly shape: "wide" | "square" | "small";
  /** Height in pixels where the number of bars decides it. */
  readonly height?: number;
}

/** Draws a chart and draws it again when its data or the scheme change; readers of the screen get the sentence. */
export function Plot({ alternative, draw, shape, height }: PlotProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return;
    let chart: Chart | undefined;
    const stop = effect(() => {
      chart?.destroy();
      chart = new Chart(element, draw(palette.value));
    });
    return () => {
      stop();
      chart?.destroy();
    };
  }, [draw]);
  return (
    <div class={`plot plot-${shape}`} style={height === undefined ? undefined : { height: `${height}px` }}>
      <canvas ref={canvas} role="img" aria-label={alternative} />
    </div>
  );
}
