import { quantiles } from "../../src/numerics/quantile.ts";

/** What repeated measurements say: middle, both quartiles, least and greatest. */
export interface Spread {
  readonly median: number;
  readonly lower: number;
  readonly upper: number;
  readonly least: number;
  readonly greatest: number;
  readonly count: number;
}

/** The spread of some measurements, at least one; quartiles are type 7. */
export function spreadOf(values: readonly number[]): Spread {
  const [least, lower, median, upper, greatest] = quantiles(values, [0, 0.25, 0.5, 0.75, 1]) as [
    number,
    number,
    number,
    number,
    number,
  ];
  return { median, lower, upper, least, greatest, count: values.length };
}

/** A spread of a part of the work told for the whole. */
export function scaled(spread: Spread, factor: number): Spread {
  const { median, lower, upper, least, greatest, count } = spread;
  return {
    median: median * factor,
    lower: lower * factor,
    upper: upper * factor,
    least: least * factor,
    greatest: greatest * factor,
    count,
  };
}

/** What each step of a growing size costs in units of the step before: medians over medians. */
export function growth(medians: readonly number[]): readonly number[] {
  return medians.slice(1).map((median, i) => median / medians[i]!);
}
