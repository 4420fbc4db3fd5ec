import { combined } from "./dimension.ts";
import { nearestUnits, noUnit, type Unit, unitOf } from "./unit.ts";

/** A number with its unit, in base units (see `Unit`). */
export interface Quantity extends Unit {
  readonly value: number;
}

/** Why a text is no quantity. */
export type QuantityProblem =
  | { readonly problem: "syntax"; readonly text: string }
  | { readonly problem: "unit"; readonly unit: string; readonly near: readonly string[] };

const shape = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(?:\/\s*(\d+(?:\.\d+)?)(?![\w.]))?\s*(%)?\s*(.*?)\s*$/;

/**
 * Reads a quantity such as `3% / year`, `1450 EUR`, `1/3`, `25 kg/m2`, `20 years`; a number stands for itself.
 * `cycleYears` gives the length of `cycle`. Returns the value in base units, or what is wrong with the text.
 * @example readQuantity("6 months") // { value: 0.5, dimension: [0, 1, 0, 0, 0, 0], factor: 1/12 }
 */
export function readQuantity(given: string | number, cycleYears?: number): Quantity | QuantityProblem {
  if (typeof given === "number") return { ...noUnit, value: given };
  const parts = shape.exec(given.length > 200 ? "" : given);
  if (parts === null) return { problem: "syntax", text: given };
  const [, number, divisor, percent, rest = ""] = parts;
  const unit = readUnit(rest, cycleYears);
  if ("problem" in unit) return unit.problem === "syntax" ? { problem: "syntax", text: given } : unit;
  const value = Number(number) / (divisor === undefined ? 1 : Number(divisor));
  const scaled = percent === undefined ? value : value / 100;
  if (!Number.isFinite(scaled)) return { problem: "syntax", text: given };
  return { ...unit, value: inBase(scaled, unit) };
}

/** `value` of `unit` in base units; months divide by 12 so that `6 months` is exactly half a year. */
export function inBase(value: number, unit: Unit): number {
  const inverse = 1 / unit.factor;
  const whole = Math.round(inverse);
  return Math.abs(inverse - whole) < 1e-9 && whole > 1 ? value / whole : value * unit.factor;
}

/**
 * Reads a unit such as `EUR/year`, `kg/m2`, `/ year` or nothing; returns its dimension and factor.
 */
export function readUnit(text: string, cycleYears?: number): Unit | QuantityProblem {
  const trimmed = text.trim();
  if (trimmed === "") return noUnit;
  let unit: Unit = noUnit;
  const pieces = trimmed.split("/");
  for (const [index, raw] of pieces.entries()) {
    const word = raw.trim();
    if (word === "" && index === 0 && pieces.length > 1) continue;
    const parts = /^(1|[A-Za-z][A-Za-z]*2?)(?:\s*\^\s*([1-3]))?$/.exec(word);
    if (parts === null) return { problem: "syntax", text };
    const [, name = "", exponent = "1"] = parts;
    if (name === "1") continue;
    const next = unitOf(name, cycleYears);
    if (next === undefined) return { problem: "unit", unit: name, near: nearestUnits(name) };
    const power = (index === 0 ? 1 : -1) * Number(exponent);
    let factor = unit.factor;
    for (let i = 0; i < Number(exponent); i++) factor = power > 0 ? factor * next.factor : factor / next.factor;
    const currency = next.currency ?? unit.currency;
    unit = {
      dimension: combined(unit.dimension, next.dimension, power),
      factor,
      ...(currency === undefined ? {} : { currency }),
    };
  }
  return unit;
}
