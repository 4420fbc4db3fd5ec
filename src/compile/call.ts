import { inputError } from "../errors.ts";
import { isNone, none, perTime, raised, sameDimension, time } from "../schema/dimension.ts";
import { type ExpressionSource, placeOfWord } from "../schema/document.ts";
import { nearestNames } from "../schema/nearest.ts";
import { united } from "./algebra.ts";
import { type Bound, children, type Key, one, two } from "./bound.ts";
import { chanceFromRate, hazardFromChance, oddsChance } from "./conversion.ts";
import type { Expression } from "./expression.ts";
import { keyOf, type Typed } from "./names.ts";
import type { Scope } from "./scope.ts";
import { isRate, plain, ratio, typeText } from "./type.ts";

const functions = [
  ...["exp", "log", "sqrt", "abs", "min", "max", "floor"],
  ...["hazard_of", "chance_of", "with_odds", "since"],
];

// functions of spreadsheets and other languages, and what to write for them
const otherwise: ReadonlyMap<string, readonly string[]> = new Map([
  ["ln", ["log(x)"]],
  ["if", ["test ? a : b"]],
  ["iif", ["test ? a : b"]],
  ["pow", ["a ^ b"]],
  ["power", ["a ^ b"]],
  ["int", ["floor(x)"]],
  ["trunc", ["floor(x)"]],
  ["round", ["floor(x + 0.5)"]],
]);

/** What binding a call needs of the expression it stands in. */
interface CallContext {
  readonly scope: Scope;
  readonly source: ExpressionSource;
  bind(node: Expression): Typed;
}

/**
 * A call of a function of the language, a table or a formula of an earlier time.
 * Throws unknown-function, wrong-arguments, unknown-reference, no-clock.
 */
export function bindCall(name: string, args: readonly Expression[], context: CallContext): Typed {
  const { scope, source, bind } = context;
  const place = source.place;
  const arity = (count: number, expected: string): void => {
    if (args.length !== count) throw inputError(placeOfWord(source, name), "wrong-arguments", name, expected);
  };
  const bare = (typed: Typed): Typed => {
    if (!isNone(typed.type.dimension) || typed.type.per !== undefined || typed.type.kind === "condition") {
      throw inputError(
        placeOfWord(source, name),
        "wrong-arguments",
        name,
        `a bare number instead of ${typeText(typed.type)}`,
      );
    }
    return typed;
  };
  switch (name) {
    case "exp":
    case "log":
    case "sqrt":
    case "abs":
    case "floor": {
      arity(1, "one value");
      const of = bind(args[0]!);
      const node = one(name, of.node);
      if (name === "abs") return { node, type: of.type };
      if (name === "sqrt" && of.type.kind === "plain") return { node, type: plain(raised(of.type.dimension, 0.5)) };
      bare(of);
      return { node, type: name === "exp" || name === "sqrt" ? ratio : plain(none) };
    }
    case "min":
    case "max": {
      if (args.length < 2) arity(2, "two or more values");
      const all = args.map(bind);
      return all.slice(1).reduce<Typed>(
        (left, right) => ({
          node: two(name, left.node, right.node),
          type: united(left.type, right.type, "choice", place),
        }),
        all[0]!,
      );
    }
    case "hazard_of": {
      arity(1, "one probability with a period");
      const of = bind(args[0]!);
      if (of.type.kind !== "probability" || of.type.period === undefined) {
        throw inputError(
          placeOfWord(source, name),
          "wrong-arguments",
          name,
          `a probability with a period instead of ${typeText(of.type)}`,
        );
      }
      return { node: hazardFromChance(of.node, of.type.period), type: plain(perTime) };
    }
    case "chance_of": {
      arity(1, "one rate");
      const of = bind(args[0]!);
      if (!isRate(of.type) && !of.type.zero) {
        throw inputError(placeOfWord(source, name), "wrong-arguments", name, `a rate instead of ${typeText(of.type)}`);
      }
      return {
        node: chanceFromRate(of.node, scope.cycleYears),
        type: { kind: "probability", dimension: none, period: scope.cycleYears },
      };
    }
    case "with_odds": {
      arity(2, "a probability and an odds ratio");
      const [p, odds] = [bind(args[0]!), bind(args[1]!)];
      if (
        (p.type.kind !== "probability" && p.type.kind !== "share") ||
        (odds.type.kind !== "odds_ratio" && odds.type.kind !== "literal") ||
        odds.type.per !== undefined
      ) {
        throw inputError(
          placeOfWord(source, name),
          "wrong-arguments",
          name,
          `a probability and an odds ratio instead of ${typeText(p.type)} and ${typeText(odds.type)}`,
        );
      }
      return { node: oddsChance(p.node, odds.node), type: p.type };
    }
    case "since": {
      arity(1, "one factor");
      const [arg] = args;
      const factor = arg?.op === "name" && arg.parts.length === 0 ? scope.factors.get(arg.name) : undefined;
      if (factor === undefined) {
        const found = arg?.op === "name" ? arg.name : "this";
        throw inputError(
          placeOfWord(source, found),
          "unknown-reference",
          "factor",
          found,
          nearestNames(found, scope.factors.keys()),
          [...scope.factors.keys()],
        );
      }
      if (!factor.clocked.some(Boolean))
        throw inputError(placeOfWord(source, factor.name), "no-clock", factor.name, factor.levels[0] ?? "");
      return { node: { op: "since", factor: factor.index }, type: plain(time) };
    }
    default:
      return tableOrEarlier(name, args, context);
  }
}

/** A look-up in a table, or a formula at `time - lag`. */
function tableOrEarlier(name: string, args: readonly Expression[], context: CallContext): Typed {
  const { scope, source, bind } = context;
  const table = scope.tables.get(name);
  const wrong = (expected: string) => inputError(placeOfWord(source, name), "wrong-arguments", name, expected);
  if (table !== undefined) {
    if (args.length !== table.keys.length + 1)
      throw wrong(["a position", ...table.keys.map((key) => `a level of ${key.name}`)].join(", "));
    const at = bind(args[0]!);
    if (!at.type.zero && !sameDimension(at.type.dimension, table.axis.type.dimension)) {
      throw wrong(`a position in ${typeText(table.axis.type)} instead of ${typeText(at.type)}`);
    }
    const keys = table.keys.map((key, index): Key => {
      const arg = args[index + 1];
      if (arg?.op !== "name" || arg.parts.length > 0) throw wrong(`a level of ${key.name}`);
      return keyOf(arg.name, key.levels, true, scope, source);
    });
    return { node: { op: "table", table: table.index, at: at.node, keys }, type: table.type };
  }
  const formula = scope.formulas.get(name);
  if (formula !== undefined) {
    const [arg] = args;
    const shifted =
      arg?.op === "subtract" && arg.left.op === "name" && arg.left.name === "time" ? arg.right : undefined;
    if (args.length !== 1 || shifted === undefined) throw wrong("time minus a duration, such as time - 1 year");
    const lag = bind(shifted);
    if (!lag.type.zero && !sameDimension(lag.type.dimension, time))
      throw wrong(`a duration instead of ${typeText(lag.type)}`);
    const { node, type } = formula.bound(placeOfWord(source, name));
    if (readsCycle(node, scope)) {
      const what = "a formula of the number of the cycle, which an earlier time does not shift";
      throw inputError(placeOfWord(source, name), "name-misused", name, what, "write it with time instead of cycle");
    }
    return { node: { op: "formula", formula: formula.index, strategy: null, lag: lag.node }, type };
  }
  if (scope.inputs.has(name) || scope.attributes.has(name) || scope.marks.has(name) || scope.factors.has(name)) {
    const what = `${name}(…)`;
    throw inputError(placeOfWord(source, name), "expression-refused", what, `write ${name} * (…) for a product`);
  }
  const known = [...functions, ...scope.tables.keys(), ...scope.formulas.keys()];
  const near = otherwise.get(name.toLowerCase()) ?? nearestNames(name, known);
  throw inputError(placeOfWord(source, name), "unknown-function", name, near);
}

/** True where an expression reads the number of the cycle, formulas followed. */
function readsCycle(node: Bound, scope: Scope, seen: Set<number> = new Set()): boolean {
  if (node.op === "cycle") return true;
  if (node.op === "formula" && !seen.has(node.formula)) {
    seen.add(node.formula);
    const inner = [...scope.formulas.values()][node.formula]!;
    if (readsCycle(inner.bound({ file: "", line: 1, column: 1, path: "" }).node, scope, seen)) return true;
  }
  return children(node).some((child) => readsCycle(child, scope, seen));
}
