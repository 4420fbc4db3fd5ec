import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { GraphNode } from "../../../src/compile/graph.ts";
import { type Range, rangeAfter, rangeOf, standIn, within } from "../../../src/compile/kernel/ranges.ts";
import { lookUp } from "../../../src/compile/look-up.ts";
import { apply } from "../../../src/compile/operators.ts";
import type { Table } from "../../../src/compile/program.ts";
import { monotoneSlopes } from "../../../src/numerics/interpolate.ts";

const unary = ["negate", "exp", "log", "sqrt", "abs", "floor", "expm1", "log1p", "not"] as const;
const binary = [
  ...(["add", "subtract", "multiply", "divide", "power", "min", "max"] as const),
  ...(["less", "less_or_equal", "greater", "greater_or_equal", "equal", "unequal", "and", "or"] as const),
];

/** Numbers of all sizes, hostile ones among them. */
const number = fc.oneof(
  { weight: 4, arbitrary: fc.double({ min: -3, max: 3, noNaN: true }) },
  { weight: 2, arbitrary: fc.double({ min: -800, max: 800, noNaN: true }) },
  {
    weight: 1,
    arbitrary: fc.constantFrom(0, -0, 1, -1, 5e-324, 1e308, -1e308, Infinity, -Infinity, Number.NaN, 2 ** 70),
  },
  { weight: 1, arbitrary: fc.double() },
);
const some = fc.array(number, { minLength: 1, maxLength: 4 });

function holds({ low, high, nan }: Range, value: number): boolean {
  return Number.isNaN(value) ? nan : value >= low && value <= high;
}

function result(node: GraphNode, values: readonly number[]): number {
  if (node.op === "if") return values[0] !== 0 ? values[1]! : values[2]!;
  return apply(node.op as (typeof unary)[number] | (typeof binary)[number], values[0]!, values[1] ?? 0);
}

/** Every choice of one number from each list. */
function choices(lists: readonly (readonly number[])[]): readonly (readonly number[])[] {
  return lists.reduce<readonly (readonly number[])[]>(
    (all, list) => all.flatMap((chosen) => list.map((one) => [...chosen, one])),
    [[]],
  );
}

function agrees(node: GraphNode, lists: readonly (readonly number[])[]): void {
  const ranges = lists.map((list) => rangeOf(list));
  const range = rangeAfter(node, [], ranges);
  const side = standIn(node, ranges);
  for (const values of choices(lists)) {
    const value = result(node, values);
    if (!holds(range, value)) throw new Error(`${value} of ${values} is not in ${JSON.stringify(range)}`);
    if (side >= 0 && !Object.is(value, values[side])) throw new Error(`${values[side]} stands in for ${value}`);
  }
}

describe("the range of a node", () => {
  test.each(unary)("holds every value of %s", (op) => {
    fc.assert(
      fc.property(some, (a) => agrees({ op, of: 0 }, [a])),
      { numRuns: 2000, seed: 5 },
    );
  });

  test.each(binary)("holds every value of %s, and what stands in for it is it", (op) => {
    fc.assert(
      fc.property(some, some, (a, b) => agrees({ op, left: 0, right: 1 }, [a, b])),
      { numRuns: 2000, seed: 6 },
    );
  });

  test("holds every value of a condition, and what stands in for it is it", () => {
    fc.assert(
      fc.property(some, some, some, (a, b, c) => agrees({ op: "if", test: 0, yes: 1, no: 2 }, [a, b, c])),
      { numRuns: 2000, seed: 7 },
    );
  });

  test.each(["step", "linear", "monotone"] as const)("holds every value of a table read by %s", (between) => {
    const x = Float64Array.of(0, 1, 2.5, 3, 10);
    const y = [Float64Array.of(1, 3, 2, 2, 7), Float64Array.of(-1, 0, 1e-3, 5, 5)];
    const slopes = y.map((series) => monotoneSlopes(x, series));
    const table = { between, x, y, slopes, sizes: [2] } as unknown as Table;
    const range = rangeAfter({ op: "table", table: 0, at: 0, row: 1 }, [table], [rangeOf([0]), rangeOf([0, 1, 2])]);
    for (let at = -1; at < 12; at += 1 / 64)
      for (const row of [0, 1, 2]) expect(holds(range, lookUp(table, at, row))).toBe(true);
  });

  test("of one number is that number, so that a coefficient of 1 is known", () => {
    const { low, high, nan } = rangeAfter({ op: "constant", value: 1 }, [], []);
    expect([low, high, nan]).toEqual([1, 1, false]);
    expect(within(rangeOf([0.5, 2]), 0.5, 2)).toBe(true);
    expect(within(rangeOf([0.5, Number.NaN]), 0.5, 2)).toBe(false);
  });
});
