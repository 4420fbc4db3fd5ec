import type { Audience, Draft } from "./draft.ts";
import type { Period, Wanted } from "./quantities.ts";

/** What an expression can be asked to yield. */
export type Yields =
  | "condition"
  | "number"
  | "fraction"
  | "scale"
  | "rate"
  | "case chance"
  | "yearly cost"
  | "money"
  | "case cost"
  | "utility"
  | "duration"
  | "bmi"
  | `chance per ${Period}`;

/** What formulas can yield; the others are written in place. */
export const formulaYields = ["condition", "number", "scale", "rate", "yearly cost", "utility", "bmi"] as const;
/** What tables can yield. */
export const tableYields = [
  ...(["scale", "rate", "yearly cost", "utility", "bmi"] as const),
  ...(["hazard ratio", "chance per year", "case chance", "case cost"] as const),
] as const;

/**
 * Writes random expressions whose units fit and whose values are in range for any legal input: fractions and chances
 * from 0 to 1, rates and scales not negative and not huge, amounts of money proportional to the money put in.
 */
export interface Pen {
  readonly draft: Draft;
  readonly audience: Audience;
  /** An expression of a kind, with at most `depth` things inside each other; 3 unless said. */
  write(yields: Yields, depth?: number): string;
  /** A value of an input. */
  input(wanted: Wanted): string;
  /** Ways to read formulas and tables that yield what is asked. */
  named(yields: string): readonly (() => string)[];
}
