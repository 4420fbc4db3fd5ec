import type { z } from "zod";
import { inputError } from "../errors.ts";
import { isNone, sameDimension, time } from "../schema/dimension.ts";
import type { LevelDeclaration } from "../schema/model.ts";
import { nearestNames } from "../schema/nearest.ts";
import { readQuantity } from "../schema/quantity.ts";
import { axesOf } from "./axes.ts";
import { boundAt, type Context, indexOf, modelPlace } from "./context.ts";
import type { Factor, Level, Match, Move, TimeGrid } from "./program.ts";
import type { FactorSymbol } from "./scope.ts";
import { typeText } from "./type.ts";

const clockLimit = 600;

/** The grid of time from the model's cycle. Throws quantity-syntax, unknown-unit, unit-mismatch, out-of-range. */
export function cycleYearsOf(text: string | number, place: Parameters<typeof inputError>[0]): number {
  const quantity = readQuantity(text);
  if ("problem" in quantity) {
    throw quantity.problem === "unit"
      ? inputError(place, "unknown-unit", quantity.unit, quantity.near)
      : inputError(place, "quantity-syntax", quantity.text);
  }
  if (!sameDimension(quantity.dimension, time))
    throw inputError(place, "unit-mismatch", String(text), "a length of time such as 1 month");
  if (!(quantity.value > 0 && quantity.value <= 10))
    throw inputError(place, "out-of-range", "cycle", String(text), "more than 0 and at most 10 years");
  return quantity.value;
}

/** Whole cycles in a duration; a finding `off-grid` where it does not fall on the grid. */
export function wholeCycles(
  years: number,
  grid: TimeGrid,
  what: string,
  place: Parameters<typeof inputError>[0],
): number {
  const cycles = years / grid.cycleYears;
  const whole = Math.round(cycles);
  if (Math.abs(cycles - whole) > 1e-6 * Math.max(1, whole)) {
    const below = Math.floor(cycles);
    const text = (count: number): string => `${Number(count.toPrecision(6))} ${count === 1 ? "cycle" : "cycles"}`;
    throw inputError(place, "off-grid", `${what} of ${text(cycles)}`, text(below), text(below + 1));
  }
  return whole;
}

/** The model's factors with their levels, clocks and start. Mistakes go to the findings. */
export function readFactors(context: Context, grid: TimeGrid): readonly Factor[] {
  const { scope, findings } = context;
  const declared = context.model.data.factors ?? {};
  const known = [...scope.factors.keys()];
  for (const name of Object.keys(context.model.data.start ?? {})) {
    const place = modelPlace(context, ["start", name], true);
    indexOf(context, "factor", name, known, place, nearestNames(name, known));
  }
  return [...scope.factors.values()].map((symbol): Factor => {
    const list = declared[symbol.name] ?? [];
    const levels = list.map((level, index) => readLevel(level, symbol.name, index, symbol.levels, context, grid));
    const start = context.model.data.start?.[symbol.name];
    const shares: Factor["start"][number][] = symbol.levels.map(() => null);
    if (start === undefined) findings.add(modelPlace(context, ["start"], true), "missing-key", `start.${symbol.name}`);
    else if (typeof start === "string") {
      const index = indexOf(
        context,
        `level of ${symbol.name}`,
        start,
        symbol.levels,
        modelPlace(context, ["start", symbol.name]),
        nearestNames(start, symbol.levels),
      );
      if (index !== undefined) shares[index] = { op: "number", value: 1 };
    } else readStart(start, symbol.name, symbol.levels, shares, context);
    return { index: symbol.index, name: symbol.name, levels, start: shares };
  });
}

function readStart(
  start: Readonly<Record<string, unknown>>,
  factor: string,
  levels: readonly string[],
  shares: Factor["start"][number][],
  context: Context,
): void {
  const entries = Object.keys(start);
  const rest = entries.filter((name) => start[name] === "rest");
  if (rest.length > 1) context.findings.add(modelPlace(context, ["start", factor, rest[1]!]), "rest-twice", factor);
  let sum: Factor["start"][number] = { op: "number", value: 0 };
  for (const name of entries) {
    const path = ["start", factor, name];
    const index = indexOf(
      context,
      `level of ${factor}`,
      name,
      levels,
      modelPlace(context, path, true),
      nearestNames(name, levels),
    );
    if (index === undefined || start[name] === "rest") continue;
    const bound = boundAt(context, path);
    if (!["share", "probability", "literal", "ratio"].includes(bound.type.kind)) {
      context.findings.add(bound.source.place, "not-a-chance", typeText(bound.type));
    }
    const formulas = [...context.scope.formulas.values()].map((symbol) => symbol.bound(bound.source.place));
    if (axesOf(bound.node, formulas).factors.size > 0) {
      const what = "a share of starters, who are in no level yet";
      context.findings.add(
        bound.source.place,
        "name-misused",
        name,
        what,
        "let it depend on strategy, group and inputs",
      );
    }
    shares[index] = bound.node;
    sum = { op: "add", left: sum, right: bound.node };
  }
  const [last] = rest;
  if (last !== undefined && levels.includes(last)) {
    shares[levels.indexOf(last)] = { op: "subtract", left: { op: "number", value: 1 }, right: sum };
  }
}

function readLevel(
  declared: z.infer<typeof LevelDeclaration>,
  factor: string,
  index: number,
  names: readonly string[],
  context: Context,
  grid: TimeGrid,
): Level {
  const { findings } = context;
  const noClock = { lasts: null, lastsNode: null, next: null, cap: 0 };
  if (typeof declared === "string") return { name: declared, label: declared.replaceAll("_", " "), ...noClock };
  const [entry] = Object.entries(declared);
  if (entry === undefined) return { name: "", label: "", ...noClock };
  const [name, clock] = entry;
  const plainLevel = { name, label: clock.label ?? name.replaceAll("_", " "), ...noClock };
  const path = ["factors", factor, index, name];
  if (clock.lasts === undefined) {
    if (clock.then !== undefined)
      findings.add(
        modelPlace(context, [...path, "then"], true),
        "inconsistent-keys",
        ["then"],
        "a level has then only with lasts",
      );
    if (clock.clock === undefined) {
      if (clock.label === undefined) findings.add(modelPlace(context, path, true), "missing-key", "lasts or clock");
      return plainLevel;
    }
    return { ...plainLevel, cap: clockCap(clock.clock, [...path, "clock"], context, grid) };
  }
  if (clock.clock !== undefined)
    findings.add(
      modelPlace(context, [...path, "clock"], true),
      "inconsistent-keys",
      ["lasts", "clock"],
      "a level that lasts keeps its clock by itself",
    );
  const lasts = boundAt(context, [...path, "lasts"]);
  if (!lasts.failed && !(sameDimension(lasts.type.dimension, time) || lasts.type.zero)) {
    findings.add(lasts.source.place, "unit-mismatch", typeText(lasts.type), "a duration, such as 6 months");
  }
  let next: number | null = null;
  if (clock.then === undefined) findings.add(modelPlace(context, path, true), "missing-key", "then");
  else
    next =
      indexOf(
        context,
        `level of ${factor}`,
        clock.then,
        names,
        modelPlace(context, [...path, "then"]),
        nearestNames(clock.then, names),
      ) ?? null;
  return { ...plainLevel, lasts: lasts.source, lastsNode: lasts.node, next };
}

function clockCap(text: string | number, path: readonly (string | number)[], context: Context, grid: TimeGrid): number {
  const place = modelPlace(context, path);
  const quantity = readQuantity(text, grid.cycleYears);
  if ("problem" in quantity || !(sameDimension(quantity.dimension, time) || isNone(quantity.dimension))) {
    context.findings.add(place, "quantity-syntax", String(text));
    return 1;
  }
  try {
    const cycles = isNone(quantity.dimension) ? quantity.value : wholeCycles(quantity.value, grid, "clock", place);
    if (Number.isInteger(cycles) && cycles >= 1 && cycles <= clockLimit) return cycles;
    context.findings.add(place, "out-of-range", "clock", String(text), `1 to ${clockLimit} cycles`);
  } catch (error) {
    context.findings.catch(error);
  }
  return 1;
}

/** The levels a condition admits; mistakes go to the findings. */
export function readMatch(
  condition: "alive" | Readonly<Record<string, string | readonly string[]>> | undefined,
  path: readonly (string | number)[],
  context: Context,
): Match {
  const factors = [...context.scope.factors.values()];
  const match: (boolean[] | null)[] = factors.map(() => null);
  if (condition === undefined || condition === "alive") return match;
  for (const [name, given] of Object.entries(condition)) {
    const factor = factorNamed(name, [...path, name], context);
    if (factor === undefined) continue;
    const list = typeof given === "string" ? [given] : given;
    if (list.length === 0) context.findings.add(modelPlace(context, [...path, name]), "empty-list", name);
    const admitted = factor.levels.map(() => false);
    for (const [i, level] of list.entries()) {
      const place = modelPlace(context, typeof given === "string" ? [...path, name] : [...path, name, i]);
      const index = indexOf(
        context,
        `level of ${name}`,
        level,
        factor.levels,
        place,
        nearestNames(level, factor.levels),
      );
      if (index !== undefined) admitted[index] = true;
    }
    match[factor.index] = admitted;
  }
  return match;
}

/** The factor a key names, or undefined with a finding at the key. */
function factorNamed(name: string, path: readonly (string | number)[], context: Context): FactorSymbol | undefined {
  const factor = context.scope.factors.get(name);
  if (factor === undefined) {
    const known = [...context.scope.factors.keys()];
    const near = nearestNames(name, known);
    context.findings.add(modelPlace(context, path, true), "unknown-reference", "factor", name, near, known);
  }
  return factor;
}

/** Both conditions at once. */
export function bothMatch(a: Match, b: Match): Match {
  return a.map((admitted, f) => {
    const other = b[f]!;
    if (admitted === null) return other;
    return other === null ? admitted : admitted.map((yes, level) => yes && other[level]!);
  });
}

/** The levels a move sets; mistakes go to the findings. */
export function readMove(
  move: "dead" | Readonly<Record<string, string>> | undefined,
  path: readonly (string | number)[],
  context: Context,
): Move | null {
  if (move === undefined) return null;
  if (move === "dead") return "dead";
  const factors = [...context.scope.factors.values()];
  const levels: (number | null)[] = factors.map(() => null);
  if (Object.keys(move).length === 0) context.findings.add(modelPlace(context, path), "empty-list", "then");
  for (const [name, level] of Object.entries(move)) {
    const factor = factorNamed(name, [...path, name], context);
    if (factor === undefined) continue;
    levels[factor.index] =
      indexOf(
        context,
        `level of ${name}`,
        level,
        factor.levels,
        modelPlace(context, [...path, name]),
        nearestNames(level, factor.levels),
      ) ?? null;
  }
  return levels;
}
