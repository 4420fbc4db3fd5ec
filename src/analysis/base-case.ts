import type { Program } from "../compile/program.ts";
import type { Traced } from "../engine/traced.ts";
import { mixGroups } from "./mix.ts";

/** One compared strategy with one row of inputs: the mix of the population and each group. */
export interface StrategyResult {
  /** Index in the model's strategies. */
  readonly strategy: number;
  readonly id: string;
  readonly label: string;
  readonly called: string;
  readonly mixed: Traced;
  readonly groups: readonly Traced[];
}

/** All compared strategies from one row, in the scenario's order. */
export function strategyResults(program: Program, traced: readonly (readonly Traced[])[]): readonly StrategyResult[] {
  return program.analysis.compare.map((strategy, k) => {
    const groups = traced[k]!;
    const { id, label, called } = program.strategies[strategy]!;
    return { strategy, id, label, called, mixed: mixGroups(program, groups), groups };
  });
}
