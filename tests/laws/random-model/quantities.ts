import type { Kind } from "../../../src/schema/model.ts";

/** What an input or a table is asked to be: its kind and units, and the span of sensible values in `unit`. */
export interface Wanted {
  readonly is: Exclude<Kind, "choice">;
  readonly declared: { readonly per?: string; readonly of?: string; readonly in?: string };
  /** Unit of values in the scenario, with `$` for the currency. */
  readonly unit: string;
  readonly low: number;
  readonly high: number;
}

/** The same for two quantities that can stand for each other. */
export function wantedKey(wanted: Wanted): string {
  return `${wanted.is} ${Object.entries(wanted.declared).join(" ")}`;
}

/** Periods of probabilities. */
export const periods = ["year", "month", "week", "5 years"] as const;
export type Period = (typeof periods)[number];

/** A probability of those at risk for a period. */
export function probabilityPer(period: Period): Wanted {
  return { is: "probability", declared: { per: period }, unit: "", low: 0.01, high: 0.6 };
}

/** A probability of those who had an event. */
export function probabilityOf(word: string): Wanted {
  return { is: "probability", declared: { of: word }, unit: "", low: 0.05, high: 0.95 };
}

export const rate: Wanted = { is: "rate", declared: { per: "year" }, unit: "/ year", low: 0.02, high: 0.9 };
export const monthlyRate: Wanted = { is: "rate", declared: { per: "month" }, unit: "/ month", low: 0.002, high: 0.08 };
export const hazardRatio: Wanted = { is: "hazard_ratio", declared: {}, unit: "", low: 0.4, high: 2 };
export const hazardRatioPerBmi: Wanted = { ...hazardRatio, declared: { per: "kg/m2" }, low: 0.95, high: 1.08 };
export const relativeRisk: Wanted = { is: "relative_risk", declared: {}, unit: "", low: 0.4, high: 1.6 };
export const oddsRatio: Wanted = { is: "odds_ratio", declared: {}, unit: "", low: 0.3, high: 3 };
export const ratio: Wanted = { is: "ratio", declared: {}, unit: "", low: 0.2, high: 2 };
export const ratioPerBmi: Wanted = { ...ratio, declared: { per: "5 kg/m2" }, low: 0.8, high: 1.3 };
export const share: Wanted = { is: "share", declared: {}, unit: "", low: 0.05, high: 0.95 };
export const change: Wanted = { is: "change", declared: {}, unit: "", low: -0.3, high: 0.3 };
export const yearlyCost: Wanted = { is: "cost", declared: { per: "year" }, unit: "$/year", low: 0, high: 9000 };
export const monthlyCost: Wanted = { is: "cost", declared: { per: "month" }, unit: "$/month", low: 0, high: 700 };
export const hourlyCost: Wanted = { is: "cost", declared: { per: "hour" }, unit: "$/hour", low: 20, high: 200 };
export const minuteCost: Wanted = { is: "cost", declared: { per: "minute" }, unit: "$/minute", low: 0.5, high: 5 };
export const utility: Wanted = { is: "utility", declared: {}, unit: "QALY/year", low: -0.1, high: 1 };
export const utilityPerBmi: Wanted = { ...utility, declared: { per: "kg/m2" }, unit: "", low: -0.01, high: 0.01 };
export const duration: Wanted = { is: "duration", declared: {}, unit: "months", low: 0.5, high: 30 };
export const money: Wanted = { is: "money", declared: {}, unit: "$", low: -500, high: 3000 };
export const count: Wanted = { is: "count", declared: {}, unit: "", low: 0, high: 5 };
export const countOfPieces: Wanted = { ...count, declared: { of: "piece" } };
export const number: Wanted = { is: "number", declared: {}, unit: "", low: -2, high: 2 };
export const bmi: Wanted = { is: "number", declared: { in: "kg/m2" }, unit: "kg/m2", low: 22, high: 44 };

/** A cost of something counted. */
export function costOf(word: string): Wanted {
  return { is: "cost", declared: { of: word }, unit: "$", low: 0, high: 5000 };
}
