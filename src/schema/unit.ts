import { type Dimension, length, mass, money, none, piece, qaly, raised, time } from "./dimension.ts";
import { nearestNames } from "./nearest.ts";

/** A unit: its dimension and its size in base units (years, metres, kilograms, QALYs, pieces, the scenario's currency). */
export interface Unit {
  readonly dimension: Dimension;
  readonly factor: number;
  /** The currency code, for units of money. */
  readonly currency?: string;
}

const daysPerYear = 365.25;

const year: Unit = { dimension: time, factor: 1 };
const month: Unit = { dimension: time, factor: 1 / 12 };
const week: Unit = { dimension: time, factor: 7 / daysPerYear };
const day: Unit = { dimension: time, factor: 1 / daysPerYear };
const hour: Unit = { dimension: time, factor: 1 / (24 * daysPerYear) };
const minute: Unit = { dimension: time, factor: 1 / (1440 * daysPerYear) };
const onePiece: Unit = { dimension: piece, factor: 1 };

const units: ReadonlyMap<string, Unit> = new Map<string, Unit>([
  ["year", year],
  ["years", year],
  ["month", month],
  ["months", month],
  ["week", week],
  ["weeks", week],
  ["day", day],
  ["days", day],
  ["hour", hour],
  ["hours", hour],
  ["minute", minute],
  ["minutes", minute],
  ["m", { dimension: length, factor: 1 }],
  ["cm", { dimension: length, factor: 0.01 }],
  ["m2", { dimension: raised(length, 2), factor: 1 }],
  ["kg", { dimension: mass, factor: 1 }],
  ["g", { dimension: mass, factor: 0.001 }],
  ["QALY", { dimension: qaly, factor: 1 }],
  ["QALYs", { dimension: qaly, factor: 1 }],
  ["piece", onePiece],
  ["pieces", onePiece],
]);

/** What a case of the language may be counted as; all are pieces to the unit algebra. */
export const pieceWords: ReadonlySet<string> = new Set(["piece", "case", "attempt", "visit", "scan", "test", "course"]);

/** Names that stand for units and so cannot name anything else. */
export function isUnitName(name: string): boolean {
  return units.has(name) || name === "cycles" || /^[A-Z]{3}$/.test(name);
}

/** The unit of a name, or undefined; `cycle` and `cycles` need the cycle length in years. */
export function unitOf(name: string, cycleYears?: number): Unit | undefined {
  if (name === "cycle" || name === "cycles") {
    return cycleYears === undefined ? undefined : { dimension: time, factor: cycleYears };
  }
  const known = units.get(name) ?? (pieceWords.has(name) ? onePiece : undefined);
  if (known !== undefined) return known;
  return /^[A-Z]{3}$/.test(name) ? { dimension: money, factor: 1, currency: name } : undefined;
}

// usual short forms, and words of currencies
const meant: ReadonlyMap<string, string> = new Map([
  ...["y", "yr", "yrs", "a"].map((word) => [word, "year"] as const),
  ...["mo", "mon", "mth", "mths"].map((word) => [word, "month"] as const),
  ...["w", "wk", "wks"].map((word) => [word, "week"] as const),
  ["d", "day"],
  ...["h", "hr", "hrs"].map((word) => [word, "hour"] as const),
  ["min", "minute"],
  ["mins", "minutes"],
  ["percent", "%"],
  ...["euro", "euros"].map((word) => [word, "EUR"] as const),
  ...["dollar", "dollars"].map((word) => [word, "USD"] as const),
  ...["pound", "pounds"].map((word) => [word, "GBP"] as const),
  ...["qalys", "qaly", "qualy"].map((word) => [word, "QALY"] as const),
]);

// any three capitals are a currency; these are also understood in small letters, for a hint
const currencies: ReadonlySet<string> = new Set([
  ...["EUR", "USD", "GBP", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "HUF"],
  ...["CAD", "AUD", "NZD", "JPY", "CNY", "INR", "BRL", "ZAR"],
]);

/** Names near a mistyped unit, or what a short form or a currency in small letters stands for. */
export function nearestUnits(name: string): readonly string[] {
  const word = meant.get(name.toLowerCase());
  if (word !== undefined) return [word];
  const currency = name.toUpperCase();
  return currencies.has(currency) ? [currency] : nearestNames(name, [...units.keys(), "cycle", "cycles"]);
}

/** The unit of a bare number. */
export const noUnit: Unit = { dimension: none, factor: 1 };
