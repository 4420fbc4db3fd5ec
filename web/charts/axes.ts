import type { ChartOptions } from "chart.js";
import type { Palette } from "../palette.ts";

/** The faces of words and figures on a chart. */
export const chartFont = { family: "system-ui, -apple-system, 'Segoe UI', Roboto, sans-serif", size: 13 } as const;

/** One axis of a chart. */
export type Axis = NonNullable<NonNullable<ChartOptions<"scatter">["scales"]>[string]>;

/** What differs between axes of numbers. */
export interface AxisExtent {
  readonly min?: number;
  readonly max?: number;
  readonly grace?: string;
  readonly stacked?: boolean;
  /** Distance between two ticks. */
  readonly step?: number;
}

/** An axis of numbers: hairline grid, a stronger line at zero, a title with the unit, and the page's own formatter. */
export function numberAxis(
  palette: Palette,
  title: string,
  text: (value: number) => string,
  { step, ...extent }: AxisExtent = {},
): Axis {
  const atZero = (tick: { readonly value?: number } | undefined): boolean =>
    Math.abs(tick?.value ?? 1) < (step ?? 1) * 1e-9;
  return {
    type: "linear",
    border: { display: false },
    grid: {
      color: ({ tick }: { readonly tick?: { readonly value?: number } }) =>
        atZero(tick) ? palette.zero : palette.line,
      lineWidth: ({ tick }: { readonly tick?: { readonly value?: number } }) => (atZero(tick) ? 1.5 : 1),
      tickLength: 0,
    },
    ticks: {
      color: palette.muted,
      font: chartFont,
      padding: 6,
      ...(step === undefined ? { maxTicksLimit: 7 } : { stepSize: step, maxTicksLimit: 13 }),
      maxRotation: 0,
      // a tick meant to be zero may be off by a rounding error, which the formatter would write out
      callback: (value: string | number) => text(atZero({ value: Number(value) }) ? 0 : Number(value)),
    },
    title: { display: true, text: title, color: palette.muted, font: chartFont },
    ...extent,
  };
}

/** An axis of names, without a grid. */
export function nameAxis(palette: Palette, stacked = false): Axis {
  return {
    type: "category",
    stacked,
    border: { display: false },
    grid: { display: false },
    ticks: { color: palette.ink, font: chartFont, autoSkip: false, crossAlign: "far" },
  };
}

/** A tooltip in the page's own colours. */
export function tooltip(palette: Palette): Readonly<Record<string, unknown>> {
  return {
    backgroundColor: palette.ink,
    titleColor: palette.ground,
    bodyColor: palette.ground,
    titleFont: chartFont,
    bodyFont: chartFont,
    padding: 10,
    cornerRadius: 2,
    displayColors: false,
  };
}
