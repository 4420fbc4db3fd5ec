/** Operators of the language that take two numbers and give a number. */
export type Arithmetic = "add" | "subtract" | "multiply" | "divide" | "power";
/** Operators that compare. */
export type Comparison = "less" | "less_or_equal" | "greater" | "greater_or_equal" | "equal" | "unequal";

/** A parsed expression: names are not yet looked up, units not yet checked. */
export type Expression =
  | { readonly op: "number"; readonly value: number }
  | { readonly op: "name"; readonly name: string; readonly parts: readonly string[] }
  | { readonly op: "look_up"; readonly of: Expression & { op: "name" }; readonly key: string }
  | { readonly op: Arithmetic | Comparison | "and" | "or"; readonly left: Expression; readonly right: Expression }
  | { readonly op: "negate" | "not"; readonly of: Expression }
  | { readonly op: "if"; readonly test: Expression; readonly yes: Expression; readonly no: Expression }
  | { readonly op: "call"; readonly name: string; readonly args: readonly Expression[] };
