import fc from "fast-check";
import { expect, test } from "vitest";
import { nearestNames } from "../../src/schema/nearest.ts";

test.each<readonly [name: string, known: readonly string[], near: readonly string[]]>([
  ["swalowed", ["swallowed", "endoscopic"], ["swallowed"]],
  ["swallwoed", ["swallowed", "endoscopic"], ["swallowed"]],
  ["endoscopy", ["swallowed", "endoscopic"], ["endoscopic"]],
  ["los", ["loss", "lost", "cost"], ["loss", "lost"]],
  ["programme", ["program", "programm"], ["programm"]],
  ["care", ["cost", "care"], ["care"]],
  ["stage", ["age", "page", "state"], ["state"]],
  ["x", ["y", "z"], []],
  ["xy", ["yx", "zz"], ["yx"]],
  ["price", ["device_price"], []],
  ["", ["a"], []],
  ["adherence", ["loss", "bmi"], []],
  ["BMI", ["bmi"], []],
  ["k".repeat(200), ["k".repeat(199)], []],
])("near %s among %j is %j", (name, known, near) => {
  expect(nearestNames(name, known)).toEqual(near);
});

test("near names are at most two, known, and not far", () => {
  const word = fc.string({ minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(word, fc.array(word, { maxLength: 20 }), (name, known) => {
      const near = nearestNames(name, known);
      expect(near.length).toBeLessThanOrEqual(2);
      for (const found of near) {
        expect(known).toContain(found);
        expect(Math.abs(found.length - name.length)).toBeLessThanOrEqual(Math.floor(name.length / 3) + 1);
      }
      if (known.includes(name) && name.length > 0) expect(near[0]).toBe(name);
    }),
    { numRuns: 1000, seed: 5 },
  );
});
