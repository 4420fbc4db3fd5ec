import { strategyStroke } from "../palette.ts";
import { palette } from "../theme.ts";

const shapes = {
  circle: "M16 2.500a5.500 5.500 0 1 0 .01 0z",
  triangle: "M16 2 22 13H10z",
  rectRot: "M16 1.500 22.500 8 16 14.500 9.500 8z",
  rect: "M11 3h10v10H11z",
  star: "M16 2v12M10 8h12M11.800 3.800l8.400 8.400M20.200 3.800l-8.400 8.400",
} as const;

/** The line and marker by which charts know a strategy, as a small picture without words. */
export function StrategyMark({ order }: { readonly order: number }) {
  const { colour, dash, marker } = strategyStroke(palette.value, order);
  return (
    <svg class="strategy-mark" width="32" height="16" viewBox="0 0 32 16" aria-hidden="true">
      <path d="M0 8H32" fill="none" stroke={colour} stroke-width="2" stroke-dasharray={dash.join(" ") || "none"} />
      <path d={shapes[marker]} fill={colour} stroke={marker === "star" ? colour : "none"} stroke-width="2" />
    </svg>
  );
}
