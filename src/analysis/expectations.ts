import { bindExpression } from "../compile/bind.ts";
import type { Expression } from "../compile/expression.ts";
import { apply } from "../compile/operators.ts";
import { parseExpression } from "../compile/parse.ts";
import type { Expectation, Program } from "../compile/program.ts";
import { FormulaValues } from "../engine/formula-value.ts";
import { type Finding, finding, InputError } from "../errors.ts";
import type { StrategyResult } from "./base-case.ts";
import { accountTotal, entriesOf, entryTotal } from "./totals.ts";

const relations: ReadonlyMap<string, readonly [sign: string, words: string]> = new Map([
  ["less", ["<", "less than"]],
  ["less_or_equal", ["<=", "at most"]],
  ["greater", [">", "more than"]],
  ["greater_or_equal", [">=", "at least"]],
  ["equal", ["==", "equal to"]],
  ["unequal", ["!=", "different from"]],
]);

/**
 * Checks the author's assertions against a row and its results: inputs and formulas at time 0 in the first group,
 * accounts as discounted totals per starter (`cost.swallowed`), lines as `cost.placement.swallowed`.
 * Returns the words of those that do not hold and only warn. Throws expectation-failed for all others that do not hold,
 * at their places.
 */
export function checkExpectations(
  program: Program,
  row: Float64Array,
  results: readonly StrategyResult[],
): readonly string[] {
  const failed: Finding[] = [];
  const unmet: string[] = [];
  for (const expectation of program.expectations) {
    try {
      const found = failure(program, row, results, expectation);
      if (found === undefined) continue;
      if (found.code === "expectation-failed" && expectation.otherwise !== null) unmet.push(expectation.otherwise);
      else failed.push(found);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      failed.push(...error.findings);
    }
  }
  if (failed.length > 0) throw new InputError(failed);
  return unmet;
}

function failure(
  program: Program,
  row: Float64Array,
  results: readonly StrategyResult[],
  expectation: Expectation,
): Finding | undefined {
  const { source, within, name } = expectation;
  const tree = parseExpression(source.text, source.place);
  const relation = "left" in tree ? relations.get(tree.op) : undefined;
  if (relation === undefined || !("left" in tree)) {
    return finding(
      source.place,
      "wrong-arguments",
      `expectation ${name}`,
      "a comparison such as a.swallowed > a.programme",
    );
  }
  // without results in it, the comparison is an ordinary expression, with its units checked
  if (!mentionsAccount(tree, program)) bindExpression(source, program.scope);
  const left = numberOf(tree.left, program, row, results, source);
  const right = numberOf(tree.right, program, row, results, source);
  const slack = within * Math.abs(right);
  const holds =
    tree.op === "equal"
      ? Math.abs(left - right) <= Math.max(slack, 1e-12 * Math.abs(right))
      : apply(tree.op, left, right) !== 0;
  return holds
    ? undefined
    : finding(source.place, "expectation-failed", name, String(left), relation[1], String(right));
}

function mentionsAccount(tree: Expression, program: Program): boolean {
  if (tree.op === "name")
    return program.accounts.some((account) => account.name === tree.name) && tree.parts.length > 0;
  if ("left" in tree) return mentionsAccount(tree.left, program) || mentionsAccount(tree.right, program);
  if (tree.op === "negate" || tree.op === "not") return mentionsAccount(tree.of, program);
  if (tree.op === "call") return tree.args.some((arg) => mentionsAccount(arg, program));
  return tree.op === "if" && [tree.test, tree.yes, tree.no].some((part) => mentionsAccount(part, program));
}

function numberOf(
  tree: Expression,
  program: Program,
  row: Float64Array,
  results: readonly StrategyResult[],
  source: Expectation["source"],
): number {
  const inner = (part: Expression): number => numberOf(part, program, row, results, source);
  switch (tree.op) {
    case "number":
      return tree.value;
    case "negate":
      return -inner(tree.of);
    case "add":
    case "subtract":
    case "multiply":
    case "divide":
    case "power":
      return apply(tree.op, inner(tree.left), inner(tree.right));
    case "name": {
      const total = accountValue(tree.name, tree.parts, program, results, source);
      if (total !== undefined) return total;
      break;
    }
    default:
  }
  const text = source.text;
  const { node } = bindExpression(
    { ...source, text: tree.op === "name" ? [tree.name, ...tree.parts].join(".") : text },
    program.scope,
  );
  if (tree.op !== "name")
    throw new InputError([
      finding(
        source.place,
        "expression-refused",
        "this construct in an expectation",
        "compare sums and products of inputs, formulas and accounts",
      ),
    ]);
  const values = new FormulaValues(program, row, program.analysis.reference, [0]);
  values.at({ cycle: 0, time: 0, startTime: 0 });
  const nobody = { levels: program.factors.map(() => 0), clocks: program.factors.map(() => 0) };
  return values.value(node, nobody)[0]!;
}

function accountValue(
  name: string,
  parts: readonly string[],
  program: Program,
  results: readonly StrategyResult[],
  source: Expectation["source"],
): number | undefined {
  const account = program.accounts.find((one) => one.name === name);
  if (account === undefined || parts.length === 0) return undefined;
  const strategy = parts.at(-1)!;
  const result = results.find(({ id }) => id === strategy);
  if (result === undefined)
    throw new InputError([
      finding(
        source.place,
        "unknown-reference",
        "compared strategy",
        strategy,
        [],
        results.map(({ id }) => id),
      ),
    ]);
  if (parts.length === 1) return accountTotal(program, result.mixed, account.index);
  const lines = entriesOf(program, account.index, program.analysis.perspective).filter(
    (entry) => program.entries[entry]!.line === parts[0],
  );
  if (lines.length === 0) {
    const known = [
      ...new Set(program.entries.filter((entry) => entry.account === account.index).map((entry) => entry.line)),
    ];
    throw new InputError([finding(source.place, "unknown-reference", `line of ${name}`, parts[0]!, [], known)]);
  }
  return lines.reduce((sum, entry) => sum + entryTotal(program, result.mixed, entry), 0);
}
