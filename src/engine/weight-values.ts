import type { Plan } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { discountFactors } from "./discount.ts";

/** The weights of a plan as factors per boundary, 0 to the last. */
export function weightValues(program: Program, plan: Plan): readonly Float64Array[] {
  const { counting } = program.analysis;
  return plan.weights.map(({ discount, point, scale, boundary }) =>
    discountFactors(program, discount, point).map((factor, c) => {
      const counted = boundary && counting.rule === "boundary" ? counting.weights[c]! * scale : scale;
      return counted * factor;
    }),
  );
}
