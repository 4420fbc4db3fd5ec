import { inputError } from "../errors.ts";
import { none, time } from "../schema/dimension.ts";
import { type ExpressionSource, placeOfWord } from "../schema/document.ts";
import { nearestNames } from "../schema/nearest.ts";
import { isUnitName, unitOf } from "../schema/unit.ts";
import { type Bound, constant, type Key } from "./bound.ts";
import { type InputSymbol, namesOf, type Scope } from "./scope.ts";
import { condition, plain, type Type } from "./type.ts";

/** A bound expression with its type. */
export interface Typed {
  readonly node: Bound;
  readonly type: Type;
}

/**
 * What a name, with its parts after dots, stands for.
 * Throws unknown-name, unknown-reference, name-misused, currency-differs.
 */
export function resolveName(name: string, parts: readonly string[], scope: Scope, source: ExpressionSource): Typed {
  const place = placeOfWord(source, name);
  if (parts.length === 0) {
    if (name === "time") return { node: { op: "time" }, type: plain(time) };
    if (name === "cycle") return { node: { op: "cycle" }, type: plain(none) };
    if (name === "cycle_length") return { node: constant(scope.cycleYears), type: plain(time) };
    const mark = scope.marks.get(name);
    if (mark !== undefined) return { node: { op: "mark", strategies: mark }, type: condition };
    const attribute = scope.attributes.get(name);
    if (attribute !== undefined) {
      if (attribute.levels === null)
        return { node: { op: "attribute", attribute: attribute.index }, type: attribute.type };
      throw inputError(
        place,
        "name-misused",
        name,
        "an attribute with levels",
        `compare it, ${name} == ${attribute.levels[0]}, or use it as a key`,
      );
    }
    if (scope.factors.has(name)) {
      throw inputError(
        place,
        "name-misused",
        name,
        "a factor",
        `compare it, ${name} == level, or use it as a key, input[${name}]`,
      );
    }
    if (isUnitName(name)) {
      const unit = unitOf(name, scope.cycleYears);
      if (unit !== undefined) {
        if (unit.currency !== undefined && unit.currency !== scope.currency) {
          throw inputError(place, "currency-differs", unit.currency, scope.currency);
        }
        return { node: constant(unit.factor), type: plain(unit.dimension) };
      }
    }
    if (scope.tables.has(name))
      throw inputError(place, "name-misused", name, "a table", `look it up, ${name}(position, level)`);
    if (name === "alive" || name === "dead") {
      throw inputError(place, "name-misused", name, "a condition of people, not a value", "use it under while or then");
    }
  }
  const formula = scope.formulas.get(name);
  if (formula !== undefined) {
    const { type } = formula.bound(place);
    const [part, further] = parts;
    if (part === undefined) return { node: { op: "formula", formula: formula.index, strategy: null, lag: null }, type };
    const strategy = scope.strategies.indexOf(part);
    if (strategy < 0 || further !== undefined) throw unknownPart("strategy", further ?? part, scope.strategies, source);
    return { node: { op: "formula", formula: formula.index, strategy, lag: null }, type };
  }
  const input = scope.inputs.get(name);
  if (input !== undefined) return resolveInput(input, parts, scope, source);
  throw inputError(place, "unknown-name", name, nearestNames(name, namesOf(scope)));
}

function unknownPart(what: string, part: string, known: readonly string[], source: ExpressionSource) {
  return inputError(placeOfWord(source, part), "unknown-reference", what, part, nearestNames(part, known), known);
}

function resolveInput(input: InputSymbol, parts: readonly string[], scope: Scope, source: ExpressionSource): Typed {
  let strategy: number | null = null;
  let key: Key | null = null;
  for (const part of parts) {
    const asStrategy: number = input.byStrategy && strategy === null ? scope.strategies.indexOf(part) : -1;
    const asCell: number = input.cells === null || key !== null ? -1 : input.cells.indexOf(part);
    if (asStrategy >= 0) strategy = asStrategy;
    else if (asCell >= 0) key = { by: "cell", cell: asCell };
    else {
      const known = [...(input.byStrategy ? scope.strategies : []), ...(input.cells ?? [])];
      throw unknownPart(input.cells === null ? "strategy" : "cell", part, known, source);
    }
  }
  const place = placeOfWord(source, input.name);
  if (input.choices !== null) {
    throw inputError(
      place,
      "name-misused",
      input.name,
      "a choice",
      `compare it, ${input.name} == ${input.choices[0]}, or use it as a key`,
    );
  }
  if (input.cells !== null && key === null) {
    throw inputError(
      place,
      "name-misused",
      input.name,
      "an input over cells",
      `take one, ${input.name}.${input.cells[0]}, or look one up by level, ${input.name}[factor]`,
    );
  }
  return { node: { op: "input", input: input.index, strategy, key }, type: input.type };
}

/**
 * The key that selects among `cells` by the name of a factor, an attribute with levels or a choice (`care[stage]`), or,
 * with `fixed`, by the name of one cell. Throws unknown-reference, missing-cells, name-misused.
 */
export function keyOf(
  name: string,
  cells: readonly string[],
  fixed: boolean,
  scope: Scope,
  source: ExpressionSource,
): Key {
  const place = placeOfWord(source, name);
  const mapped = (levels: readonly string[]): readonly number[] => {
    const missing = levels.filter((level) => !cells.includes(level));
    if (missing.length > 0) throw inputError(place, "missing-cells", `cells for the levels of ${name}`, missing);
    return levels.map((level) => cells.indexOf(level));
  };
  const factor = scope.factors.get(name);
  if (factor !== undefined) return { by: "factor", factor: factor.index, cells: mapped(factor.levels) };
  const attribute = scope.attributes.get(name);
  if (attribute?.levels) return { by: "attribute", attribute: attribute.index, cells: mapped(attribute.levels) };
  const input = scope.inputs.get(name);
  if (input?.choices) return { by: "choice", input: input.index, cells: mapped(input.choices) };
  const cell = fixed ? cells.indexOf(name) : -1;
  if (cell >= 0) return { by: "cell", cell };
  const named = [...scope.attributes.values()].filter(({ levels }) => levels !== null).map((symbol) => symbol.name);
  const known = [...scope.factors.keys(), ...named, ...(fixed ? cells : [])];
  throw inputError(place, "unknown-reference", "key", name, nearestNames(name, known), known);
}
