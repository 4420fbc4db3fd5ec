import { inputError } from "../errors.ts";
import { none } from "../schema/dimension.ts";
import { type ExpressionSource, placeOfWord } from "../schema/document.ts";
import { nearestNames } from "../schema/nearest.ts";
import { inBase } from "../schema/quantity.ts";
import { isUnitName, type Unit } from "../schema/unit.ts";
import { comparable, power, product, quotient, united } from "./algebra.ts";
import { type Bound, constant, one, two } from "./bound.ts";
import { bindCall } from "./call.ts";
import type { Comparison, Expression } from "./expression.ts";
import { keyOf, resolveName, type Typed } from "./names.ts";
import { parseExpression } from "./parse.ts";
import type { Scope } from "./scope.ts";
import { condition, literal, type Type, typeText, zero } from "./type.ts";

/**
 * An expression with its names looked up and its units checked.
 * Throws the errors of parsing, of names and of the unit algebra, each at the expression (or the name) it concerns.
 */
export function bindExpression(source: ExpressionSource, scope: Scope): Typed {
  const tree = parseExpression(source.text, source.place);
  const place = source.place;

  const bind = (node: Expression): Typed => {
    switch (node.op) {
      case "number":
        return { node: constant(node.value), type: node.value === 0 ? zero : literal };
      case "name":
        return resolveName(node.name, node.parts, scope, source);
      case "look_up":
        return lookUp(node.of.name, node.of.parts, node.key);
      case "negate": {
        const of = bind(node.of);
        if (of.type.kind === "condition") throw misplaced(of.type, "write not before a condition");
        return {
          node: one("negate", of.node),
          type: of.type.kind === "share" ? { kind: "change", dimension: none } : of.type,
        };
      }
      case "not": {
        const of = truth(bind(node.of));
        return { node: one("not", of.node), type: condition };
      }
      case "and":
      case "or":
        return { node: two(node.op, truth(bind(node.left)).node, truth(bind(node.right)).node), type: condition };
      case "if": {
        const test = truth(bind(node.test));
        const yes = bind(node.yes);
        const no = bind(node.no);
        return {
          node: { op: "if", test: test.node, yes: yes.node, no: no.node },
          type: united(yes.type, no.type, "choice", place),
        };
      }
      case "call":
        return bindCall(node.name, node.args, { scope, source, bind });
      case "equal":
      case "unequal": {
        const test = levelTest(node.left, node.right) ?? levelTest(node.right, node.left);
        if (test !== undefined) return { node: node.op === "equal" ? test : one("not", test), type: condition };
        return compare(node.op, node.left, node.right);
      }
      case "less":
      case "less_or_equal":
      case "greater":
      case "greater_or_equal":
        return compare(node.op, node.left, node.right);
      default: {
        const left = bind(node.left);
        const right = bind(node.right);
        const result = arithmetic(node.op, left, right);
        // a number with its unit is one number, exactly as a scenario's quantity is read: 5 months are 5 / 12 of a year
        if (node.op !== "multiply" || left.node.op !== "number" || right.node.op !== "number") return result;
        if (node.right.op !== "name" || !isUnitName(node.right.name)) return result;
        const unit: Unit = { dimension: right.type.dimension, factor: right.node.value };
        return { ...result, node: constant(inBase(left.node.value, unit)) };
      }
    }
  };

  const misplaced = (type: Type, instead: string) =>
    inputError(place, "kind-crossing", typeText(type), "value", instead);

  const truth = (typed: Typed): Typed => {
    if (typed.type.kind === "condition" || typed.type.kind === "literal") return typed;
    throw inputError(
      place,
      "kind-crossing",
      typeText(typed.type),
      "condition",
      "compare the value, such as time < 2 years",
    );
  };

  const compare = (op: Comparison, leftSide: Expression, rightSide: Expression): Typed => {
    const left = bind(leftSide);
    const right = bind(rightSide);
    return { node: two(op, left.node, right.node), type: comparable(left.type, right.type, place) };
  };

  const arithmetic = (op: "add" | "subtract" | "multiply" | "divide" | "power", left: Typed, right: Typed): Typed => {
    const node = two(op, left.node, right.node);
    switch (op) {
      case "add":
        return { node, type: united(left.type, right.type, "sum", place) };
      case "subtract":
        return { node, type: united(left.type, right.type, "difference", place) };
      case "multiply":
        return { node, type: product(left.type, right.type, place) };
      case "divide":
        return { node, type: quotient(left.type, right.type, place) };
      case "power": {
        const exponent = right.node.op === "number" ? right.node.value : undefined;
        const type = power(left.type, right.type, exponent, place);
        const size = left.type.per?.size ?? 1;
        return { node: size === 1 ? node : two("power", left.node, two("divide", right.node, constant(size))), type };
      }
    }
  };

  const levelTest = (subject: Expression, level: Expression): Bound | undefined => {
    if (subject.op !== "name" || subject.parts.length > 0 || level.op !== "name") return undefined;
    const levels =
      scope.factors.get(subject.name)?.levels ??
      scope.attributes.get(subject.name)?.levels ??
      scope.inputs.get(subject.name)?.choices;
    if (!levels) return undefined;
    const index = level.parts.length === 0 ? levels.indexOf(level.name) : -1;
    if (index < 0) {
      throw inputError(
        placeOfWord(source, level.name),
        "unknown-reference",
        `level of ${subject.name}`,
        level.name,
        nearestNames(level.name, levels),
        levels,
      );
    }
    return { op: "test", key: keyOf(subject.name, levels, false, scope, source), level: index };
  };

  const lookUp = (name: string, parts: readonly string[], by: string): Typed => {
    const input = scope.inputs.get(name);
    if (input === undefined || input.cells === null) {
      const known = [...scope.inputs.values()].filter(({ cells }) => cells !== null).map((symbol) => symbol.name);
      throw inputError(
        placeOfWord(source, name),
        "unknown-reference",
        "input over cells",
        name,
        nearestNames(name, known),
        known,
      );
    }
    const strategy = parts.length === 1 && input.byStrategy ? scope.strategies.indexOf(parts[0]!) : -1;
    if (parts.length > 0 && strategy < 0) {
      throw inputError(
        placeOfWord(source, name),
        "unknown-reference",
        "strategy",
        parts.join("."),
        nearestNames(parts[0]!, scope.strategies),
        scope.strategies,
      );
    }
    const key = keyOf(by, input.cells, true, scope, source);
    return {
      node: { op: "input", input: input.index, strategy: strategy < 0 ? null : strategy, key },
      type: input.type,
    };
  };

  return bind(tree);
}
