import type { Arithmetic, Comparison } from "./expression.ts";

/** What selects a cell or a level: a factor's level, a group's attribute, a drawn choice, or one fixed entry. */
export type Key =
  | { readonly by: "factor"; readonly factor: number; readonly cells: readonly number[] }
  | { readonly by: "attribute"; readonly attribute: number; readonly cells: readonly number[] }
  | { readonly by: "choice"; readonly input: number; readonly cells: readonly number[] }
  | { readonly by: "cell"; readonly cell: number };

/** Functions of one number. */
export type Unary = "negate" | "exp" | "log" | "sqrt" | "abs" | "floor" | "expm1" | "log1p";

/** Functions and operators of two numbers. */
export type Binary = Arithmetic | Comparison | "and" | "or" | "min" | "max";

/**
 * An expression whose names are looked up and whose units fit. Conditions are 1 or 0. All numbers are in base units.
 * `strategy` is an index of the model's strategies where the expression fixes one, else null for the current one.
 */
export type Bound =
  | { readonly op: "number"; readonly value: number }
  | { readonly op: "time" }
  | { readonly op: "cycle" }
  | { readonly op: "since"; readonly factor: number }
  | { readonly op: "mark"; readonly strategies: readonly boolean[] }
  | { readonly op: "attribute"; readonly attribute: number }
  | { readonly op: "test"; readonly key: Key; readonly level: number }
  | { readonly op: "input"; readonly input: number; readonly strategy: number | null; readonly key: Key | null }
  | { readonly op: "formula"; readonly formula: number; readonly strategy: number | null; readonly lag: Bound | null }
  | { readonly op: "table"; readonly table: number; readonly at: Bound; readonly keys: readonly Key[] }
  | { readonly op: "if"; readonly test: Bound; readonly yes: Bound; readonly no: Bound }
  | { readonly op: Unary | "not"; readonly of: Bound }
  | { readonly op: Binary; readonly left: Bound; readonly right: Bound };

/** The number `value`. */
export function constant(value: number): Bound {
  return { op: "number", value };
}

/** An operator of two sides. */
export function two(op: Binary, left: Bound, right: Bound): Bound {
  return { op, left, right };
}

/** A function of one side. */
export function one(op: Unary | "not", of: Bound): Bound {
  return { op, of };
}

/** The expressions directly inside one. */
export function children(node: Bound): readonly Bound[] {
  switch (node.op) {
    case "number":
    case "time":
    case "cycle":
    case "since":
    case "mark":
    case "attribute":
    case "test":
    case "input":
      return [];
    case "formula":
      return node.lag === null ? [] : [node.lag];
    case "table":
      return [node.at];
    case "if":
      return [node.test, node.yes, node.no];
    default:
      return "of" in node ? [node.of] : [node.left, node.right];
  }
}
