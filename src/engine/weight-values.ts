import type { Plan } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { discountTable } from "./discount.ts";

/** The weights of a plan as factors per boundary, 0 to the last. */
export function weightValues(program: Program, plan: Plan): readonly Float64Array[] {
  const { counting } = program.analysis;
  const tables = {
    costs: discountTable(program, "costs"),
    effects: discountTable(program, "effects"),
    none: discountTable(program, "none"),
  };
  return plan.weights.map(({ discount, point, scale, boundary }) =>
    tables[discount][point].map((factor, c) => {
      const counted = boundary && counting.rule === "boundary" ? counting.weights[c]! * scale : scale;
      return counted * factor;
    }),
  );
}
