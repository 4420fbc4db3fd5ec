import { expect, test } from "vitest";
import { runCase } from "../case.ts";

test("a cell that is the same as another cell of its input takes that cell's value and draw", () => {
  const { study } = runCase(
    `
    inputs: { stay: { is: duration, over: [short, long, again] } }
    `,
    `
    inputs:
      stay:
        each:
          short: { mean: 2 days, se: 0.4 days }
          long: { mean: 9 days, se: 1 day }
          again: { same_as: stay.short }
        source: invented
    `,
  );
  const [short, , again] = study.program.components;
  expect(again?.reported).toEqual({ form: "same", as: "stay[short]" });
  expect(again?.base).toBe(short?.base);
});
