import type { Findings, Place } from "../errors.ts";
import type { Dimension } from "../schema/dimension.ts";
import type { Document } from "../schema/document.ts";
import type { Step } from "../schema/located.ts";
import type { Kind } from "../schema/model.ts";
import type { Money } from "./money.ts";
import type { Fit } from "./read-fits.ts";
import type { Expected } from "./read-quantity.ts";
import type { DistributionOptions } from "./reported.ts";

/** What the model declares of an input, as far as reading its evidence needs it. */
export interface InputShape {
  readonly index: number;
  readonly name: string;
  readonly kind: Kind;
  readonly dimension: Dimension;
  /** Period of a probability in years, or size of the unit of a ratio; undefined where there is none. */
  readonly period: number | undefined;
  readonly perDimension: Dimension | undefined;
  readonly byStrategy: boolean;
  readonly cells: readonly string[] | null;
  readonly choices: readonly string[] | null;
  /** Cells of a probability or share sum to 1. */
  readonly sums: boolean;
}

/** The case around an entry. */
export interface EvidenceContext {
  readonly scenario: Document<unknown>;
  readonly strategies: readonly string[];
  readonly money: Money;
  readonly cycleYears: number;
  readonly findings: Findings;
  /** The scenario's fitted courses that could be estimated. */
  readonly fits: ReadonlyMap<string, Fit>;
  /** Names of all of them. */
  readonly fitNames: readonly string[];
  /** The numbers of a column of a joint-draws file. Throws the errors of reading it. */
  readonly column: (file: string, column: string, place: Place) => readonly number[];
}

/** What a form is read with: the input, the cell it is for, what its numbers must be, where it stands. */
export interface FormContext {
  readonly shape: InputShape;
  readonly cell: number | null;
  readonly expected: Expected;
  readonly options: DistributionOptions;
  readonly findings: Findings;
  readonly at: readonly Step[];
  readonly context: EvidenceContext;
}
