import { type StrategyResult, strategyResults } from "./analysis/base-case.ts";
import { checkExpectations } from "./analysis/expectations.ts";
import { compile } from "./compile/compile.ts";
import { type Expansion, expand, stateLabel } from "./compile/expand.ts";
import type { Program } from "./compile/program.ts";
import { evaluateReference } from "./engine/reference.ts";
import { type Sampler, sampler } from "./engine/sample.ts";
import type { Traced } from "./engine/traced.ts";
import { comparedAnswer } from "./report/compared.ts";
import { costsAnswer } from "./report/costs.ts";
import { type ResultDocument, resultMeta, type TraceTable } from "./report/result.ts";
import { worksAnswer } from "./report/works.ts";
import { worthFromBase } from "./report/worth.ts";
import type { FileSource } from "./schema/files.ts";
import { loadCase } from "./schema/load.ts";

/** A scenario ready to run. */
export interface Study {
  readonly program: Program;
  readonly expansion: Expansion;
  /** The laws of its inputs, from which draws are made. */
  readonly sampler: Sampler;
}

/** Text to program: reads a scenario with its model, checks everything, expands the joint states. */
export function openStudy(files: FileSource, path: string): Study {
  const program = compile(loadCase(files, path), files);
  return { program, expansion: expand(program), sampler: sampler(program) };
}

/** The base values of all scalar inputs, the row of the base case. */
export function baseRow(program: Program): Float64Array {
  return Float64Array.from(program.components, (component) => component.base);
}

/** One row through the referee: `[compared strategy][group]`. */
export function runReference(study: Study, row: Float64Array): readonly (readonly Traced[])[] {
  const { program, expansion } = study;
  return program.analysis.compare.map((s) =>
    program.groups.map((group) => evaluateReference(program, expansion, row, s, group.index)),
  );
}

/** What a run should do; what is not given comes from the scenario's `runs`. */
export interface RunOptions {
  /** Number of draws; 0 forces the base case alone. */
  readonly draws?: number;
  readonly seed?: string;
  readonly design?: Design;
  /** Adds who is where at each boundary, from base values. */
  readonly trace?: boolean;
  /** Time of making, an ISO text; left out unless asked for, so that the same case gives the same document. */
  readonly generated?: string;
}

/** How uniforms are laid out over draws. */
export type Design = "plain" | "stratified" | "quasi";

/** How far a run has come. */
export interface Progress {
  readonly done: number;
  readonly total: number;
}

/**
 * A run in steps: yields after each block of draws, so that a host can show progress, do other things between blocks,
 * or stop by dropping the generator. Throws what the case's expressions and evidence make it throw.
 */
export function* runSteps(study: Study, options: RunOptions = {}): Generator<Progress, ResultDocument> {
  yield { done: 0, total: 1 };
  return runBase(study, options);
}

/** A run from start to end. */
export function runStudy(
  study: Study,
  options: RunOptions = {},
  onProgress?: (progress: Progress) => void,
): ResultDocument {
  const steps = runSteps(study, options);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    onProgress?.(step.value);
  }
}

/** The base case answered: program to rows to outcomes to answers. Throws expectation-failed. */
export function runBase(study: Study, options: RunOptions = {}): ResultDocument {
  const { program, expansion } = study;
  const row = baseRow(program);
  const results = strategyResults(program, runReference(study, row));
  checkExpectations(program, row, results);
  return {
    meta: resultMeta(program, {
      seed: null,
      draws: 0,
      design: null,
      generated: options.generated ?? null,
      warnings: study.sampler.laws.warnings,
    }),
    answers: {
      compared: comparedAnswer(program, results),
      works: worksAnswer(program, results, expansion.states),
      costs: costsAnswer(program, results),
      worth: worthFromBase(program, results),
    },
    ...(options.trace ? { trace: traceTables(study, results) } : {}),
  };
}

function traceTables(study: Study, results: readonly StrategyResult[]): Readonly<Record<string, TraceTable>> {
  const { program, expansion } = study;
  const states = [...expansion.states.map((state) => stateLabel(program, state)), program.deathLabel];
  const boundaries = Array.from({ length: program.grid.cycles + 1 }, (_, c) => c);
  return Object.fromEntries(
    results.map(({ id, mixed }) => [
      id,
      {
        states,
        membership: boundaries.map((c) => [...mixed.membership.subarray(c * states.length, (c + 1) * states.length)]),
      },
    ]),
  );
}
