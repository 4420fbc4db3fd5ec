import { Findings } from "../errors.ts";
import { placeIn } from "../schema/document.ts";
import { axesOf } from "./axes.ts";
import { type Bound, children } from "./bound.ts";
import type { Program } from "./program.ts";

/**
 * Throws name-misused where an expression varies with what it cannot see: a share of the starters with the level of a
 * factor, a formula of an earlier time with the number of the cycle (which is not shifted as time is).
 */
export function checkVariation(program: Program): void {
  const findings = new Findings();
  for (const factor of program.factors) {
    for (const [level, share] of factor.start.entries()) {
      if (share === null || axesOf(share, program.formulas).factors.size === 0) continue;
      const { name } = factor.levels[level]!;
      const place = placeIn(program.model, ["start", factor.name, name]);
      const what = "a share of the starters, who are in no level yet";
      findings.add(place, "name-misused", name, what, "let it depend on strategy, group and inputs only");
    }
  }
  for (const formula of program.formulas) {
    for (const earlier of laggedIn(formula.node)) {
      if (!readsCycle(program, program.formulas[earlier]!.node)) continue;
      const what = "the number of the cycle, which an earlier time does not shift";
      const { name } = program.formulas[earlier]!;
      findings.add(formula.source.place, "name-misused", "cycle", what, `write ${name} with time, such as time < 2 years`);
    }
  }
  findings.throwAny();
}

/** Indices of the formulas that an expression takes at an earlier time. */
function laggedIn(node: Bound): readonly number[] {
  const own = node.op === "formula" && node.lag !== null ? [node.formula] : [];
  return [...own, ...children(node).flatMap(laggedIn)];
}

function readsCycle(program: Program, node: Bound): boolean {
  if (node.op === "cycle") return true;
  if (node.op === "formula" && readsCycle(program, program.formulas[node.formula]!.node)) return true;
  return children(node).some((child) => readsCycle(program, child));
}
