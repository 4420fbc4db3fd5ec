import { expect, test } from "vitest";
import { growth, scaled, spreadOf } from "./statistics.ts";

test("the spread is that of the values in any order, quartiles of type 7", () => {
  // Source: by hand; (n - 1) p = 1, 2, 3 for five values, 0.75, 1.5, 2.25 for four.
  expect(spreadOf([5, 1, 4, 2, 3])).toEqual({ median: 3, lower: 2, upper: 4, least: 1, greatest: 5, count: 5 });
  expect(spreadOf([4, 1, 3, 2])).toEqual({ median: 2.5, lower: 1.75, upper: 3.25, least: 1, greatest: 4, count: 4 });
  expect(spreadOf([7])).toEqual({ median: 7, lower: 7, upper: 7, least: 7, greatest: 7, count: 1 });
});

test("no measurements have no spread", () => {
  expect(() => spreadOf([])).toThrow();
  expect(() => spreadOf([1, Number.NaN])).toThrow();
});

test("told for more work, all but the number of rounds grows", () => {
  expect(scaled(spreadOf([1, 2, 4]), 100)).toEqual({ ...spreadOf([100, 200, 400]), count: 3 });
});

test("growth is each size over the one before", () => {
  expect(growth([2, 5, 10])).toEqual([2.5, 2]);
  expect(growth([2])).toEqual([]);
});
