import type { Place } from "../errors.ts";
import type { Source } from "../schema/evidence.ts";
import type { Scale } from "./course-family.ts";
import type { MoneyWay } from "./money.ts";

/** A value in the form the evidence reports it, all numbers in base units. */
export type Reported =
  | { readonly form: "fixed"; readonly value: number }
  | { readonly form: "share"; readonly events: number; readonly of: number }
  | { readonly form: "rate"; readonly events: number; readonly years: number }
  | {
      readonly form: "counts";
      readonly counts: readonly number[];
      /** Which cells were listed; the others cannot happen. */
      readonly listed: readonly boolean[];
      readonly cell: number;
    }
  | { readonly form: "mean"; readonly mean: number; readonly se: number; readonly n: number | null }
  | {
      readonly form: "estimate";
      readonly estimate: number;
      readonly low: number;
      readonly high: number;
      readonly level: number;
    }
  | { readonly form: "quantiles"; readonly at: readonly number[]; readonly values: readonly number[] }
  | { readonly form: "draws"; readonly file: string; readonly values: readonly number[] }
  | {
      /** A parameter of a course fitted to points: normal on its scale, correlated with the others of its course. */
      readonly form: "fitted";
      readonly fit: string;
      readonly parameter: string;
      readonly scale: Scale;
      readonly mu: number;
      readonly sigma: number;
      /** Correlation with each estimated parameter of the course. */
      readonly correlation: Readonly<Record<string, number>>;
      readonly warnings: readonly string[];
    }
  | { readonly form: "chosen"; readonly weights: readonly number[] }
  /** `orElse` is taken where the other input has no cells; gone once `followSame` has looked. */
  | { readonly form: "same"; readonly as: string; readonly orElse?: string };

/** From the reported scale to the model's: another period of a probability, another unit of a ratio. */
export type Conversion =
  | { readonly how: "none" }
  | { readonly how: "period"; readonly ratio: number }
  | { readonly how: "power"; readonly exponent: number };

/** One scalar input: its key `input[strategy][cell]`, how it is reported and what its base value is. */
export interface Component {
  readonly key: string;
  readonly input: number;
  readonly strategy: number | null;
  readonly cell: number | null;
  readonly reported: Reported;
  readonly conversion: Conversion;
  /** How its numbers came from the money they are reported in to the scenario's; null where they are in it. */
  readonly money: MoneyWay | null;
  readonly options: DistributionOptions;
  /** Base value in the model's units. */
  readonly base: number;
  readonly source: Source;
  readonly why: string | null;
  readonly place: Place;
}

/** What the evidence says beside the numbers. */
export interface DistributionOptions {
  readonly prior?: "none" | number | { readonly a: number; readonly b: number };
  readonly small?: "t";
  readonly center?: "mean";
  readonly family?: string;
  readonly range?: readonly [number, number];
}

/** True where the value has no spread: it is fixed, or the same as one that is. */
export function isFixed(component: Component, all: readonly Component[]): boolean {
  const { reported } = component;
  if (reported.form !== "same") return reported.form === "fixed";
  const other = all.find(({ key }) => key === reported.as);
  return other !== undefined && isFixed(other, all);
}
