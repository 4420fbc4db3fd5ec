import { expect } from "vitest";

/**
 * Numbers agree to `tolerance` of the expected one (of 1 where that is smaller than 1e-12, so that zeros compare).
 * Lists agree item by item and in length.
 */
export function expectClose(
  found: number | readonly number[],
  expected: number | readonly number[],
  tolerance = 1e-12,
): void {
  const [left, right] = [[found].flat(), [expected].flat()];
  const close = (a: number, b: number): boolean =>
    Object.is(a, b) || Math.abs(a - b) <= tolerance * (Math.abs(b) < 1e-12 ? 1 : Math.abs(b));
  const agree = left.length === right.length && left.every((a, i) => close(a, right[i]!));
  // the full lists make the message; the comparison above makes the verdict
  if (!agree) expect(left).toEqual(right);
}
