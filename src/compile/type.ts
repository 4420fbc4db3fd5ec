import { type Dimension, dimensionText, isNone, none, perTime } from "../schema/dimension.ts";

/** What a value is, beyond its dimension: which products and uses make sense. */
export type ValueKind =
  | "literal"
  | "plain"
  | "probability"
  | "hazard_ratio"
  | "relative_risk"
  | "odds_ratio"
  | "ratio"
  | "share"
  | "change"
  | "condition";

/** The type of an expression. */
export interface Type {
  readonly kind: ValueKind;
  readonly dimension: Dimension;
  /** Period of a probability in years; absent for a probability of an attempt or case. */
  readonly period?: number;
  /** For ratios per unit: the dimension and the size of that unit. */
  readonly per?: { readonly dimension: Dimension; readonly size: number };
  /** True for the literal 0, which fits any unit. */
  readonly zero?: boolean;
}

/** The type of a bare number written in an expression. */
export const literal: Type = { kind: "literal", dimension: none };
/** The type of a literal 0. */
export const zero: Type = { kind: "literal", dimension: none, zero: true };
/** The type of a comparison. */
export const condition: Type = { kind: "condition", dimension: none };
/** The type of a dimensionless multiplier. */
export const ratio: Type = { kind: "ratio", dimension: none };

/** A plain value of a dimension. */
export function plain(dimension: Dimension): Type {
  return { kind: "plain", dimension };
}

/** True for a number of events per person and time. */
export function isRate(type: Type): boolean {
  return type.kind === "plain" && type.dimension.every((exponent, i) => Math.abs(exponent - perTime[i]!) < 1e-9);
}

/** True for kinds that may multiply anything: literals, shares, ratios, changes. */
export function isFree(type: Type): boolean {
  return (
    (type.kind === "literal" || type.kind === "share" || type.kind === "ratio" || type.kind === "change") &&
    type.per === undefined
  );
}

/** The type in the words of the language. */
export function typeText(type: Type): string {
  const per = type.per === undefined ? "" : ` per ${dimensionText(type.per.dimension)}`;
  switch (type.kind) {
    case "literal":
      return "a bare number";
    case "plain":
      return isRate(type) ? "rate" : dimensionText(type.dimension);
    case "probability":
      return type.period === undefined ? "probability of a case" : `probability per ${periodText(type.period)}`;
    default:
      return `${type.kind.replace("_", " ")}${per}${isNone(type.dimension) ? "" : ` in ${dimensionText(type.dimension)}`}`;
  }
}

function periodText(years: number): string {
  if (years === 1) return "year";
  const months = years * 12;
  return Math.abs(months - Math.round(months)) < 1e-9 ? `${Math.round(months)} months` : `${years} years`;
}
