import { create, parseDependencies } from "mathjs/number";
import { inputError, type Place } from "../errors.ts";
import { isUnitName } from "../schema/unit.ts";
import type { Arithmetic, Comparison, Expression } from "./expression.ts";

// Only the parser of the library is loaded: it builds trees and cannot evaluate anything.
const { parse } = create(parseDependencies) as unknown as { parse: (text: string) => Tree };

/** The part of the parser's tree that is read here. */
interface Tree {
  readonly type: string;
  readonly [key: string]: unknown;
}

const lengthLimit = 2000;
const bracketLimit = 50;
// what reads a tree calls itself at each level
const depthLimit = 300;

// each of these may make the parser call itself; its stack must not run out, because an engine that compiles a regular
// expression at the end of the stack may end the whole program
const openingLimit = 100;
const openings: readonly RegExp[] = [/\?/g, /\^/g, /(?<![<>=!])=(?!=)/g];

const binary: ReadonlyMap<string, Arithmetic | Comparison | "and" | "or"> = new Map([
  ["add", "add"],
  ["subtract", "subtract"],
  ["multiply", "multiply"],
  ["divide", "divide"],
  ["pow", "power"],
  ["smaller", "less"],
  ["smallerEq", "less_or_equal"],
  ["larger", "greater"],
  ["largerEq", "greater_or_equal"],
  ["equal", "equal"],
  ["unequal", "unequal"],
  ["and", "and"],
  ["or", "or"],
]);

const refusedOperators: ReadonlyMap<string, readonly [what: string, instead: string]> = new Map([
  ["mod", ["the remainder %", "write a percentage as 0.03 in an expression, or as 3% in the scenario"]],
  ["unaryPercentage", ["a percentage", "write 0.03 in an expression, or 3% in the scenario"]],
  ["to", ["a unit conversion with to or in", "units convert by themselves; divide by the unit you want"]],
  ["factorial", ["the factorial !", "write not for the opposite of a condition"]],
  ["ctranspose", ["a quote '", "names stand without quotes"]],
  ["dotMultiply", ["an element-wise operator", "write * for a product"]],
  ["dotDivide", ["an element-wise operator", "write / for a quotient"]],
  ["dotPow", ["an element-wise operator", "write ^ for a power"]],
  ["xor", ["xor", "write it with and, or, not"]],
  ["bitAnd", ["the operator &", "write and"]],
  ["bitOr", ["the operator |", "write or"]],
  ["bitNot", ["the operator ~", "write not"]],
  ["nullish", ["the operator ??", "every name of the language has a value; use test ? a : b"]],
]);

const refusedNodes: ReadonlyMap<string, readonly [what: string, instead: string]> = new Map([
  ["AssignmentNode", ["an assignment", "give a value under formulas; write == to compare"]],
  ["FunctionAssignmentNode", ["a function definition", "write a formula; formulas may name each other"]],
  ["BlockNode", ["several expressions separated by ;", "write one expression"]],
  ["RangeNode", ["a range", "write test ? a : b for a conditional"]],
  ["ArrayNode", ["a list", "declare an input over cells and look them up"]],
  ["ObjectNode", ["a map", "declare an input over cells and look them up"]],
  ["RelationalNode", ["a chained comparison", "join two comparisons with and"]],
]);

// signs that the parser does not know or knows as something else; found in the text, so that they are refused by name
const refusedSigns: readonly (readonly [sign: RegExp, what: string, instead: string])[] = [
  [/["'`]/, "text in quotes", "names stand without quotes"],
  [/[!=]==/, "a comparison of three signs", "write == or !="],
  [/=[<>]/, "=< or =>", "write <= or >="],
  [/<>/, "<>", "write != for different"],
  [/!(?!=)/, "the sign !", "write not before a condition, in brackets: not (a < b)"],
  [/&&/, "&&", "write and"],
  [/\|\|/, "||", "write or"],
  [/\*\*/, "**", "write ^ for a power"],
  [/#/, "a comment", "use label or about, or a comment of the file"],
  [/\b0[xXbBoO]/, "a number that is not decimal", "write decimal numbers"],
];

/**
 * The tree of an expression of the language.
 * Throws expression-too-long, expression-syntax, expression-refused, all at `place`.
 * @example parseExpression("2 * a", { file: "x", line: 1, column: 1, path: "" }).op // "multiply"
 */
export function parseExpression(given: string | number | boolean, place: Place): Expression {
  if (typeof given === "number") return { op: "number", value: given };
  if (typeof given === "boolean") return { op: "number", value: given ? 1 : 0 };
  const text = given.replace(/\s+/g, " ");
  if (text.length > lengthLimit) throw inputError(place, "expression-too-long", text.length, lengthLimit);
  if (deepest(text) > bracketLimit)
    throw inputError(place, "expression-syntax", `brackets deeper than ${bracketLimit}`);
  if (openings.some((each) => (text.match(each)?.length ?? 0) > openingLimit) || longestRunOfSigns(text) > openingLimit)
    throw inputError(place, "expression-syntax", `it nests deeper than ${openingLimit} levels; split it into formulas`);
  if (text.trim() === "") throw inputError(place, "expression-syntax", "it is empty");
  for (const [sign, what, instead] of refusedSigns)
    if (sign.test(text)) throw inputError(place, "expression-refused", what, instead);
  const foreign = /[^\x20-\x7e]/u.exec(text)?.[0];
  if (foreign !== undefined) {
    const instead = "write - for minus, * for times, <= for at most, and names in plain letters";
    throw inputError(place, "expression-refused", `the character ${foreign}`, instead);
  }
  let tree: Tree;
  try {
    tree = parse(text);
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error);
    const comma = /\d,\d/.test(text) ? "; if the comma stands in a number, write a point" : "";
    throw inputError(place, "expression-syntax", `${said}${comma}`);
  }
  return walk(tree, place, 0);
}

function deepest(text: string): number {
  let depth = 0;
  let most = 0;
  for (const char of text) {
    if (char === "(" || char === "[" || char === "{") most = Math.max(most, ++depth);
    else if (char === ")" || char === "]" || char === "}") depth -= 1;
  }
  return most;
}

/** The most signs and words before one operand, as in `- - not x`. */
function longestRunOfSigns(text: string): number {
  const runs = text.match(/(?:[-+~] ?|\bnot\b ?)+/g) ?? [];
  return Math.max(0, ...runs.map((run) => run.match(/[-+~]|not/g)!.length));
}

function walk(tree: Tree, place: Place, depth: number): Expression {
  if (depth > depthLimit)
    throw inputError(place, "expression-syntax", `it nests deeper than ${depthLimit} levels; split it into formulas`);
  const inner = (node: unknown): Expression => walk(node as Tree, place, depth + 1);
  const refuse = (what: string, instead: string) => inputError(place, "expression-refused", what, instead);
  switch (tree.type) {
    case "ParenthesisNode":
      return inner(tree["content"]);
    case "ConstantNode": {
      const value = tree["value"];
      if (typeof value === "boolean") return { op: "number", value: value ? 1 : 0 };
      if (typeof value !== "number") throw refuse(`the constant ${String(value)}`, "write a number");
      if (!Number.isFinite(value)) throw refuse("a number that is not finite", "write a finite number");
      return { op: "number", value };
    }
    case "SymbolNode":
      return { op: "name", name: String(tree["name"]), parts: [] };
    case "ConditionalNode":
      return { op: "if", test: inner(tree["condition"]), yes: inner(tree["trueExpr"]), no: inner(tree["falseExpr"]) };
    case "AccessorNode":
      return accessor(tree, place, depth);
    case "FunctionNode": {
      const fn = tree["fn"] as Tree | undefined;
      const name = fn?.["name"];
      if (fn?.type !== "SymbolNode" || typeof name !== "string")
        throw refuse("a function of something", "call a function by its name alone, such as exp(x)");
      return { op: "call", name, args: (tree["args"] as readonly unknown[]).map(inner) };
    }
    case "OperatorNode":
      return operator(tree, place, depth);
    default: {
      const [what, instead] = refusedNodes.get(tree.type) ?? [
        "this construct",
        "use numbers, names, operators and the functions listed",
      ];
      throw refuse(what, instead);
    }
  }
}

function accessor(tree: Tree, place: Place, depth: number): Expression {
  const of = walk(tree["object"] as Tree, place, depth + 1);
  const index = tree["index"] as Tree;
  const dimensions = (index["dimensions"] as readonly Tree[] | undefined) ?? [];
  const [first] = dimensions;
  if (of.op !== "name" || dimensions.length !== 1 || first === undefined || tree["optionalChaining"] === true) {
    throw inputError(place, "expression-refused", "this look-up", "write name[factor] or name.cell");
  }
  if (index["dotNotation"] === true) return { ...of, parts: [...of.parts, String(first["value"])] };
  if (first.type !== "SymbolNode") {
    throw inputError(
      place,
      "expression-refused",
      "a look-up by anything but a name",
      "write name[factor], or name.cell for one cell",
    );
  }
  return { op: "look_up", of, key: String(first["name"]) };
}

function operator(tree: Tree, place: Place, depth: number): Expression {
  // the parser writes 3% as 3 / 100, and takes it of the number before a sum
  const name = tree["isPercentage"] === true ? "unaryPercentage" : String(tree["fn"]);
  const args = (tree["args"] as readonly Tree[]).map((node) => walk(node, place, depth + 1));
  const [left, right] = args;
  if (args.length === 1 && left !== undefined) {
    if (name === "unaryMinus")
      return left.op === "number" ? { op: "number", value: -left.value } : { op: "negate", of: left };
    if (name === "unaryPlus") return left;
    if (name === "not") return { op: "not", of: left };
  }
  if (
    name === "multiply" &&
    tree["implicit"] === true &&
    !(left?.op === "number" && right !== undefined && isUnit(right))
  ) {
    throw inputError(
      place,
      "expression-refused",
      "a product without *",
      "write * between factors, or _ inside a name; only a number and its unit stand side by side",
    );
  }
  // a number side by side with `cycle` is a length of time; the name alone is the number of the cycle
  if (name === "multiply" && tree["implicit"] === true && left !== undefined && isName(right, "cycle"))
    return { op: "multiply", left, right: { op: "name", name: "cycles", parts: [] } };
  const op = binary.get(name);
  if (op !== undefined && left !== undefined && right !== undefined) return { op, left, right };
  const [what, instead] = refusedOperators.get(name) ?? [
    `the operator ${String(tree["op"])}`,
    "use + - * / ^, comparison, and or not, ? :",
  ];
  throw inputError(place, "expression-refused", what, instead);
}

function isUnit(node: Expression): boolean {
  if (node.op === "power") return isUnit(node.left);
  return node.op === "name" && node.parts.length === 0 && (isUnitName(node.name) || node.name === "cycle");
}

const isName = (node: Expression | undefined, name: string): boolean => node?.op === "name" && node.name === name;
