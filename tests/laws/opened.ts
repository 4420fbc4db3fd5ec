import { type StrategyResult, strategyResults } from "../../src/analysis/base-case.ts";
import { expand } from "../../src/compile/expand.ts";
import type { Program } from "../../src/compile/program.ts";
import { evaluateReference } from "../../src/engine/reference.ts";
import type { Traced } from "../../src/engine/traced.ts";
import { bundleFiles } from "../../src/schema/files.ts";
import { baseRow, openStudy, runReference, type Study } from "../../src/study.ts";
import type { RandomCase } from "./random-model.ts";

/** A case opened and run with its base values. */
export interface Opened {
  readonly case: RandomCase;
  readonly study: Study;
  readonly program: Program;
  readonly row: Float64Array;
  /** `[compared strategy][group]`. */
  readonly traced: readonly (readonly Traced[])[];
  readonly results: readonly StrategyResult[];
}

/** Text to results. */
export function opened(one: RandomCase): Opened {
  const study = openStudy(bundleFiles(one.files), one.path);
  const row = baseRow(study.program);
  const traced = runReference(study, row);
  return { case: one, study, program: study.program, row, traced, results: strategyResults(study.program, traced) };
}

/** Results of a program that differs from the one opened, for all compared strategies and groups. */
export function rerun(program: Program, row: Float64Array): readonly (readonly Traced[])[] {
  const expansion = expand(program);
  return program.analysis.compare.map((s) =>
    program.groups.map((group) => evaluateReference(program, expansion, row, s, group.index)),
  );
}

/** The same for the first compared strategy and the first group alone. */
export function rerunFirst(program: Program, row: Float64Array): Traced {
  return evaluateReference(program, expand(program), row, program.analysis.compare[0]!, 0);
}
