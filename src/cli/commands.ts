import { findCase, folderFiles, fromHere } from "../host/files.ts";
import { type QuestionId, questions, type ResultDocument } from "../report/result.ts";
import { structureText } from "../report/structure-text.ts";
import { editorSchema } from "../schema/editor-schema.ts";
import { caseTitle } from "../schema/load.ts";
import { openStudy, type RunOptions, runBase, type Study } from "../study.ts";
import type { Io } from "./io.ts";
import { answerLines, footLines, headLines } from "./print.ts";

/** Options shared by the commands that read files. */
export interface FileOptions {
  readonly root?: string;
  readonly json?: boolean;
}

/** What `work` makes of a scenario file. Throws the located errors of its files. */
export function withFile<T>(file: string, options: FileOptions, work: (study: Study) => T): T {
  const found = findCase(file, options.root);
  return fromHere(found.root, () => work(openStudy(folderFiles(found.root), found.path)));
}

const json = (io: Io, value: unknown): void => io.out(`${JSON.stringify(value, null, 2)}\n`);

const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

/** `check FILE…`: reads, compiles and expands each file; says what it holds. */
export function check(files: readonly string[], options: FileOptions & { readonly structure?: boolean }, io: Io): void {
  const found = files.map((file) => {
    return withFile(file, options, ({ program, expansion }) => ({
      file,
      scenario: program.scenario.data.scenario,
      model: program.model.data.model,
      strategies: program.analysis.compare.map((s) => program.strategies[s]!.id),
      groups: program.groups.length,
      inputs: program.components.length,
      states: expansion.states.length,
      cycles: program.grid.cycles,
      ...(options.structure ? { structure: structureText(program, expansion) } : {}),
    }));
  });
  if (options.json) {
    json(io, { checked: found });
    return;
  }
  for (const one of found) {
    io.out(
      `${one.file}: valid; ${counted(one.strategies.length, "strategy", "strategies")}, ${counted(one.groups, "group")}, ${counted(one.inputs, "input value")}, ${counted(one.states, "joint state")}, ${counted(one.cycles, "cycle")}\n`,
    );
    if (one.structure !== undefined) io.out(`${one.structure}\n`);
  }
}

/** `run FILE`: all answers. */
export function run(
  file: string,
  options: FileOptions & { readonly trace?: boolean; readonly stamp?: boolean },
  io: Io,
): void {
  const document = withFile(file, options, (study) => runBase(study, runOptions(options, io)));
  if (options.json) {
    json(io, document);
    return;
  }
  printAll(document, io);
}

/** All answers, for people. */
export function printAll(document: ResultDocument, io: Io): void {
  io.out(`${headLines(document)}\n`);
  for (const { id } of questions) io.out(`${answerLines(document, id)}\n`);
  io.out(footLines(document));
}

/** `ask QUESTION FILE`: one answer. */
export function ask(
  question: QuestionId,
  file: string,
  options: FileOptions & { readonly stamp?: boolean },
  io: Io,
): void {
  const document = withFile(file, options, (study) => runBase(study, runOptions(options, io)));
  if (options.json) {
    json(io, { meta: document.meta, answers: { [question]: document.answers[question] } });
    return;
  }
  io.out(`${headLines(document)}\n${answerLines(document, question)}\n${footLines(document)}`);
}

function runOptions(options: { readonly trace?: boolean; readonly stamp?: boolean }, io: Io): RunOptions {
  return { ...(options.trace ? { trace: true } : {}), ...(options.stamp ? { generated: io.now() } : {}) };
}

/** `list`: the scenarios of a case root with what they are about. */
export function list(root: string, options: FileOptions, io: Io): void {
  const files = folderFiles(root);
  const scenarios = files
    .list()
    .filter((path) => path.endsWith(".scenario.yaml"))
    .map((path) => ({ file: path, ...caseTitle(files, path) }));
  if (options.json) {
    json(io, { scenarios });
    return;
  }
  for (const { file, scenario, about } of scenarios)
    io.out(`${file}\n  ${scenario}${about === null ? "" : `: ${about}`}\n`);
}

/** `schema KIND`: the JSON Schema of a kind of file, for editors. */
export function schema(kind: "model" | "scenario", io: Io): void {
  json(io, editorSchema(kind));
}
