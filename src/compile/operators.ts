import { exp, expm1 } from "../numerics/exp.ts";
import { log, log1p } from "../numerics/log.ts";
import { pow } from "../numerics/pow.ts";
import type { Binary, Unary } from "./bound.ts";

/**
 * The value of an operator; `b` is ignored by functions of one number. Conditions are 1 and 0, and anything but 0 is
 * true. `min` and `max` are those of IEEE 754 arithmetic as comparisons: `a < b ? a : b`, `a > b ? a : b`.
 */
export function apply(op: Unary | Binary | "not", a: number, b: number): number {
  switch (op) {
    case "add":
      return a + b;
    case "subtract":
      return a - b;
    case "multiply":
      return a * b;
    case "divide":
      return a / b;
    case "power":
      return pow(a, b);
    // as comparisons and not Math.min, whose treatment of NaN and of signed zeros the fast evaluators do not share
    case "min":
      // biome-ignore lint/complexity/useMathMinMax: see above
      return a < b ? a : b;
    case "max":
      // biome-ignore lint/complexity/useMathMinMax: see above
      return a > b ? a : b;
    case "less":
      return a < b ? 1 : 0;
    case "less_or_equal":
      return a <= b ? 1 : 0;
    case "greater":
      return a > b ? 1 : 0;
    case "greater_or_equal":
      return a >= b ? 1 : 0;
    case "equal":
      return a === b ? 1 : 0;
    case "unequal":
      return a !== b ? 1 : 0;
    case "and":
      return a !== 0 && b !== 0 ? 1 : 0;
    case "or":
      return a !== 0 || b !== 0 ? 1 : 0;
    case "not":
      return a === 0 ? 1 : 0;
    case "negate":
      return -a;
    case "exp":
      return exp(a);
    case "log":
      return log(a);
    case "expm1":
      return expm1(a);
    case "log1p":
      return log1p(a);
    case "sqrt":
      return Math.sqrt(a);
    case "abs":
      return Math.abs(a);
    case "floor":
      return Math.floor(a);
  }
}
