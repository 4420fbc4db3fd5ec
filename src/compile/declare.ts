import { type Findings, inputError, type Place } from "../errors.ts";
import { none } from "../schema/dimension.ts";
import { type Document, expressionAt, placeIn } from "../schema/document.ts";
import type { Step } from "../schema/located.ts";
import type { Model } from "../schema/model.ts";
import { isUnitName } from "../schema/unit.ts";
import { united } from "./algebra.ts";
import { bindExpression } from "./bind.ts";
import { type Bound, children, constant } from "./bound.ts";
import { declaredType, periodOf } from "./input-type.ts";
import type { Typed } from "./names.ts";
import {
  type AttributeSymbol,
  type FactorSymbol,
  type FormulaSymbol,
  type InputSymbol,
  objectNames,
  reservedNames,
  type Scope,
  type TableSymbol,
} from "./scope.ts";
import { literal, type Type } from "./type.ts";

// formulas that name formulas are followed by calls within calls
const depthLimit = 1000;

const lower = /^[a-z][a-z0-9_]*$/;
const either = /^[A-Za-z][A-Za-z0-9_]*$/;

/** Names and types of everything a model declares; formulas are bound when first needed. Mistakes go to the findings. */
export function declareScope(model: Document<Model>, cycleYears: number, currency: string, findings: Findings): Scope {
  const { data } = model;
  const taken = new Map<string, string>();
  const placeOf = (path: readonly Step[], key = true): Place => placeIn(model, path, key);

  const claim = (name: string, what: string, path: readonly Step[], shape = lower): void => {
    const place = placeOf(path);
    if (!shape.test(name)) findings.add(place, "invalid-name", name);
    else if (reservedNames.has(name) || isUnitName(name)) findings.add(place, "reserved-name", name);
    const other = taken.get(name);
    if (other !== undefined) findings.add(place, "duplicate-name", name, other);
    else taken.set(name, what);
  };
  const inner = (name: string, path: readonly Step[]): void => {
    if (!either.test(name)) findings.add(placeOf(path), "invalid-name", name);
    else if (name === "dead" || name === "alive" || name === "rest" || objectNames.has(name))
      findings.add(placeOf(path), "reserved-name", name);
  };
  const distinct = (names: readonly string[], what: string, path: readonly Step[]): void => {
    if (names.length === 0) findings.add(placeOf(path), "empty-list", what);
    for (const [index, name] of names.entries()) {
      inner(name, [...path, index]);
      if (names.indexOf(name) !== index) findings.add(placeOf([...path, index]), "duplicate-name", name, what);
    }
  };

  const strategies = Object.keys(data.strategies);
  if (strategies.length === 0) findings.add(placeOf(["strategies"]), "empty-list", "strategies");
  const marks = new Map<string, boolean[]>();
  for (const [index, id] of strategies.entries()) {
    inner(id, ["strategies", id]);
    for (const [position, mark] of (data.strategies[id]?.has ?? []).entries()) {
      if (!marks.has(mark)) {
        claim(mark, "a mark", ["strategies", id, "has", position]);
        marks.set(
          mark,
          strategies.map(() => false),
        );
      }
      marks.get(mark)![index] = true;
    }
  }

  const inputs = new Map<string, InputSymbol>();
  const addInput = (
    name: string,
    type: Type,
    byStrategy: boolean,
    cells: readonly string[] | null,
    choices: readonly string[] | null,
  ): void => {
    inputs.set(name, { index: inputs.size, name, type, byStrategy, cells, choices });
  };
  for (const [name, declaration] of Object.entries(data.inputs ?? {})) {
    claim(name, "an input", ["inputs", name]);
    const place = placeOf(["inputs", name]);
    const type = declaredType(declaration, cycleYears, place, findings);
    const { over, of } = declaration;
    if (over !== undefined) distinct(over, `cells of ${name}`, ["inputs", name, "over"]);
    let choices: readonly string[] | null = null;
    if (declaration.is === "choice") {
      if (!Array.isArray(of)) findings.add(place, "missing-key", "of");
      else {
        distinct(of, `choices of ${name}`, ["inputs", name, "of"]);
        choices = of;
      }
      if (over !== undefined) findings.add(place, "inconsistent-keys", ["over", "is: choice"], "a choice has no cells");
    } else if (Array.isArray(of)) findings.add(place, "wrong-shape", "a list", "a word such as case");
    addInput(name, type, declaration.by === "strategy", over ?? null, choices);
  }

  const factors = new Map<string, FactorSymbol>();
  for (const [name, levels] of Object.entries(data.factors ?? {})) {
    claim(name, "a factor", ["factors", name]);
    const names = levels.map((level) => (typeof level === "string" ? level : (Object.keys(level)[0] ?? "")));
    distinct(names, `levels of ${name}`, ["factors", name]);
    const clocked = levels.map((level, index) => {
      if (typeof level === "string") return false;
      if (Object.keys(level).length !== 1) {
        findings.add(placeOf(["factors", name, index], false), "wrong-shape", "a map", "one level with lasts or clock");
      }
      const clock = Object.values(level)[0];
      return clock !== undefined && (clock.lasts !== undefined || clock.clock !== undefined);
    });
    factors.set(name, { index: factors.size, name, levels: names, clocked });
  }

  const attributes = new Map<string, AttributeSymbol>();
  for (const [name, declaration] of Object.entries(data.population ?? {})) {
    claim(name, "an attribute of the population", ["population", name]);
    const index = attributes.size;
    if (Array.isArray(declaration)) {
      distinct(declaration, `levels of ${name}`, ["population", name]);
      attributes.set(name, { index, name, levels: declaration, type: literal });
    } else {
      const type = declaredType(declaration, cycleYears, placeOf(["population", name]), findings);
      attributes.set(name, { index, name, levels: null, type });
    }
  }

  const tables = new Map<string, TableSymbol>();
  for (const [name, declaration] of Object.entries(data.tables ?? {})) {
    claim(name, "a table", ["tables", name]);
    const place = placeOf(["tables", name]);
    const type = declaredType(declaration, cycleYears, place, findings);
    const [first, ...rest] = Object.entries(declaration.by);
    let axis = { name: "", type: literal as Type };
    if (first === undefined || Array.isArray(first[1]))
      findings.add(
        place,
        "wrong-shape",
        "by without a first axis of numbers",
        "by: { age: year, sex: [male, female] }",
      );
    else {
      const unit = periodOf(first[1], cycleYears, placeOf(["tables", name, "by", first[0]], false), findings);
      axis = { name: first[0], type: { kind: "plain", dimension: unit?.dimension ?? none } };
    }
    const keys = rest.flatMap(([key, levels]) => {
      if (!Array.isArray(levels)) {
        findings.add(
          placeOf(["tables", name, "by", key], false),
          "wrong-shape",
          String(levels),
          "a list of levels; only the first axis is a number",
        );
        return [];
      }
      distinct(levels, `levels of ${key}`, ["tables", name, "by", key]);
      return [{ name: key, levels }];
    });
    tables.set(name, { index: tables.size, name, type, axis, keys });
  }

  const formulas = new Map<string, FormulaSymbol>();
  const scope: Scope = { cycleYears, currency, strategies, marks, inputs, factors, attributes, tables, formulas };
  const open: string[] = [];
  const depths: number[] = [];
  for (const [name, formula] of Object.entries(data.formulas ?? {})) {
    claim(name, "a formula", ["formulas", name]);
    let done: Typed | undefined;
    const variants = typeof formula === "object" ? Object.keys(formula.alternatives) : null;
    if (variants !== null) {
      distinct(variants, `alternatives of ${name}`, ["formulas", name, "alternatives"]);
      // the weights of the variants are evidence like any other: a choice input of the formula's name
      inputs.set(name, { index: inputs.size, name, type: literal, byStrategy: false, cells: null, choices: variants });
    }
    const symbol: FormulaSymbol = {
      index: formulas.size,
      name,
      bound(from) {
        if (done !== undefined) return done;
        if (open.includes(name)) throw inputError(from, "circular", [...open.slice(open.indexOf(name)), name]);
        open.push(name);
        try {
          done =
            variants === null
              ? bindExpression(expressionAt(model, ["formulas", name]), scope)
              : chosenVariant(name, variants);
          depths[symbol.index] = depthOf(done.node, depths);
          if (depths[symbol.index]! > depthLimit)
            throw inputError(placeOf(["formulas", name]), "unit-of-work", `nesting of formula ${name}`, depthLimit);
        } catch (error) {
          // the mistake is reported once, at the formula itself; its users see a number that fits anywhere
          if (error instanceof RangeError)
            findings.add(placeOf(["formulas", name]), "unit-of-work", `nesting of formula ${name}`, depthLimit);
          else findings.catch(error);
          done = { node: constant(0), type: { ...literal, zero: true } };
          depths[symbol.index] = 1;
        } finally {
          open.pop();
        }
        return done;
      },
    };
    formulas.set(name, symbol);
  }

  function chosenVariant(name: string, variants: readonly string[]): Typed {
    if (variants.length === 0) return { node: constant(0), type: { ...literal, zero: true } };
    const choice = inputs.get(name)!;
    const cells = variants.map((_, index) => index);
    const bound = variants.map((variant) =>
      bindExpression(expressionAt(model, ["formulas", name, "alternatives", variant]), scope),
    );
    const type = bound
      .slice(1)
      .reduce((sum, next) => united(sum, next.type, "choice", placeOf(["formulas", name])), bound[0]!.type);
    const node = bound.slice(0, -1).reduceRight<Bound>(
      (no, { node: yes }, index) => ({
        op: "if",
        test: { op: "test", key: { by: "choice", input: choice.index, cells }, level: index },
        yes,
        no,
      }),
      bound.at(-1)!.node,
    );
    return { node, type };
  }
  return scope;
}

/** Levels of an expression, those of the formulas it names included, whose own are known. */
function depthOf(node: Bound, formulas: readonly number[]): number {
  const own = node.op === "formula" ? (formulas[node.formula] ?? 0) : 0;
  return 1 + children(node).reduce((most, child) => Math.max(most, depthOf(child, formulas)), own);
}
