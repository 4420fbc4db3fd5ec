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

test("a cell or a strategy that is the same as an input of one value takes that value", () => {
  const { study } = runCase(
    `
    inputs:
      stay: { is: duration }
      again: { is: duration, over: [short, long] }
      each_way: { is: duration, by: strategy, over: [short, long] }
    `,
    `
    inputs:
      stay: { mean: 2 days, se: 0.4 days, source: invented }
      again: { same_as: stay, source: invented }
      each_way: { by: { s: { each: { short: { same_as: stay }, long: { same_as: again } } } }, source: invented }
    `,
  );
  const [stay, ...others] = study.program.components;
  const key = (as: string) => ({ form: "same", as });
  expect(others.map(({ reported }) => reported)).toEqual([key("stay"), key("stay"), key("stay"), key("again[long]")]);
  expect(others.every(({ base }) => base === stay?.base)).toBe(true);
});
