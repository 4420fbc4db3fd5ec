import { expect, test } from "vitest";
import { agree, Disagreement } from "./agreement.ts";

const names = ["cost", "QALYs"];
const reference = Float64Array.from({ length: 16 }, (_, i) => 100 + i);

/** The reference with one value changed. */
function changed(at: number, value: number, length = 16): Float64Array {
  return reference.slice(0, length).fill(value, at, at + 1);
}

test("outcomes within 1e-9 agree, of all draws or of the first", () => {
  expect(() => agree("one", changed(3, 103 * (1 + 0.9e-9)), reference, names)).not.toThrow();
  expect(() => agree("one", reference.slice(0, 8), reference, names)).not.toThrow();
});

test.each([
  [changed(3, 103 * (1 + 1.1e-9)), "one disagrees: draw 1, strategy 2, QALYs: 103.0000001133 is not 103"],
  [changed(12, -112), "one disagrees: draw 2, strategy 3, cost: -112 is not 112"],
  [changed(0, Number.NaN), "draw 1, strategy 1, cost: NaN is not 100"],
  [changed(0, Number.POSITIVE_INFINITY), "Infinity is not 100"],
  [new Float64Array(0), "one gives 0 outcomes, of 16"],
  [new Float64Array(24), "one gives 24 outcomes, of 16"],
  [reference.slice(0, 5), "one gives 5 outcomes, of 16"],
])("%#: what is not the same is named in one line", (found, message) => {
  const refused = (): void => agree("one", found, reference, names);
  expect(refused).toThrow(Disagreement);
  expect(refused).toThrow(message);
  expect(refused).not.toThrow("\n");
});
