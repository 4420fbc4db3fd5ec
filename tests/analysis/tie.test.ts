import { expect, test } from "vitest";
import { compareWithTies, isTie } from "../../src/analysis/tie.ts";

// Constructed around the stated bound, 1e-9 of the larger magnitude.
const cases: readonly (readonly [a: number, b: number, tie: boolean])[] = [
  [1, 1 + 0.9e-9, true],
  [1, 1 + 1.1e-9, false],
  [-2e6, -2e6 - 1.9e-3, true],
  [-2e6, -2e6 - 2.1e-3, false],
  [0, 0, true],
  [0, -0, true],
  [0, 1e-300, false],
  [1e-12, -1e-12, false],
];

test.each(cases)("%d and %d tied: %s", (a, b, tie) => {
  expect(isTie(a, b)).toBe(tie);
  expect(isTie(b, a)).toBe(tie);
});

test("order is what is left when no tie is found", () => {
  expect(compareWithTies(1, 2)).toBe(-1);
  expect(compareWithTies(2, 1)).toBe(1);
  expect(compareWithTies(1, 1 + 1e-12)).toBe(0);
});
