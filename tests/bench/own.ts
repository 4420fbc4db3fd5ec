import { join } from "node:path";
import type { Outcomes } from "../../src/engine/outcomes.ts";
import { evaluateRows, type Prepared, prepareRows } from "../../src/engine/rows.ts";
import { folderFiles } from "../../src/host/files.ts";
import { instantiate } from "../../src/host/instantiate.ts";
import { openStudy, type Study } from "../../src/study.ts";
import { projectFolder } from "./project.ts";

/** The reference workload as a model of our language. */
export function openWorkload(): Study {
  const files = folderFiles(join(projectFolder(), "tests/bench/workload"));
  return openStudy(files, "scenarios/workload.scenario.yaml");
}

/** A study ready for rows, with kernels where they pay. */
export function ready({ program, expansion }: Study): Prepared {
  return prepareRows(program, expansion, { instantiate });
}

/** All rows evaluated on this thread. */
export function evaluated(prepared: Prepared, rows: Float64Array): Outcomes {
  const outcomes = evaluateRows(prepared, rows);
  if (outcomes === null) throw new Error("nobody cancels a bench");
  return outcomes;
}

/** How often a row steps through a state: joint states of the living; and only those in which anybody can be. */
export interface StateCycles {
  readonly all: number;
  readonly inhabited: number;
}

/** Steps of one row through all states, cycles, groups and strategies. */
export function stateCycles({ program, plans, expansion }: Prepared): StateCycles {
  const groups = program.groups.length;
  let inhabited = 0;
  for (const plan of plans)
    for (const { from, to, transfer } of plan.segments) inhabited += (to - from) * transfer.writes.length * groups;
  return { all: plans.length * program.grid.cycles * expansion.states.length * groups, inhabited };
}
