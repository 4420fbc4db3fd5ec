import type { Expansion } from "../compile/expand.ts";
import type { Program } from "../compile/program.ts";
import { unreadInputs } from "./inputs-table.ts";
import type { ResultMeta } from "./result.ts";

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
  /** Inputs that nothing reads. */
  readonly unused: readonly string[];
  /** Where evidence does not quite say what its distribution says. */
  readonly warnings: ResultMeta["warnings"];
}

/** The summary of a checked scenario; strategies are those compared. */
export function structureSummary(
  program: Program,
  expansion: Expansion,
  warnings: ResultMeta["warnings"],
): StructureSummary {
  return {
    scenario: program.scenario.data.scenario,
    model: program.model.data.model,
    strategies: program.analysis.compare.map((s) => program.strategies[s]!.id),
    groups: program.groups.length,
    inputs: program.components.length,
    states: expansion.states.length,
    cycles: program.grid.cycles,
    unused: unreadInputs(program),
    warnings,
  };
}
