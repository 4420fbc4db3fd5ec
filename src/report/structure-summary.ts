import type { Expansion } from "../compile/expand.ts";
import type { Program } from "../compile/program.ts";
import { structureText } from "./structure-text.ts";

/** What a scenario holds, as a check tells it. */
export interface StructureSummary {
  readonly scenario: string;
  readonly model: string;
  readonly strategies: readonly string[];
  readonly groups: number;
  /** Number of scalar input values. */
  readonly inputs: number;
  /** Number of joint states, death apart. */
  readonly states: number;
  readonly cycles: number;
}

/** The summary of a checked scenario; strategies are those compared. */
export function structureSummary(program: Program, expansion: Expansion): StructureSummary {
  return {
    scenario: program.scenario.data.scenario,
    model: program.model.data.model,
    strategies: program.analysis.compare.map((s) => program.strategies[s]!.id),
    groups: program.groups.length,
    inputs: program.components.length,
    states: expansion.states.length,
    cycles: program.grid.cycles,
  };
}

/** The summary with the expanded structure in words. */
export function structureDetail(
  program: Program,
  expansion: Expansion,
): StructureSummary & { readonly structure: string } {
  return { ...structureSummary(program, expansion), structure: structureText(program, expansion) };
}
