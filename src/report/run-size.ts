import type { Expansion } from "../compile/expand.ts";
import type { Program } from "../compile/program.ts";

/** How much a run takes on, for those who must bound it. */
export interface RunSize {
  readonly draws: number;
  /** States x cycles x compared strategies: the numbers of a trace. */
  readonly traced: number;
  /** The same x population groups: the steps of one evaluation. */
  readonly cells: number;
  /** The steps of all draws. */
  readonly cellDraws: number;
  /** Numbers kept of all draws: totals of each compared strategy's accounts, and three more. */
  readonly kept: number;
}

/** The size of a run of so many draws, those of the scenario unless given. */
export function runSize(program: Program, expansion: Expansion, givenDraws?: number): RunSize {
  const draws = givenDraws ?? program.scenario.data.runs?.draws ?? 0;
  const traced = expansion.states.length * program.grid.cycles * program.analysis.compare.length;
  const cells = traced * program.groups.length;
  const kept = draws * program.analysis.compare.length * (program.accounts.length + 3);
  return { draws, traced, cells, cellDraws: cells * draws, kept };
}
