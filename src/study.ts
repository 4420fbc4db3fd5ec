import { compile } from "./compile/compile.ts";
import { type Expansion, expand } from "./compile/expand.ts";
import type { Program } from "./compile/program.ts";
import { evaluateReference } from "./engine/reference.ts";
import type { Traced } from "./engine/traced.ts";
import type { FileSource } from "./schema/files.ts";
import { loadCase } from "./schema/load.ts";

/** A scenario ready to run. */
export interface Study {
  readonly program: Program;
  readonly expansion: Expansion;
}

/** Text to program: reads a scenario with its model, checks everything, expands the joint states. */
export function openStudy(files: FileSource, path: string): Study {
  const program = compile(loadCase(files, path), files);
  return { program, expansion: expand(program) };
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
