import { inputError } from "../errors.ts";
import { findCase, folderFiles, fromHere, writeLines } from "../host/files.ts";
import { instantiate } from "../host/instantiate.ts";
import { drawLines } from "../report/draws-csv.ts";
import { inputsTable } from "../report/inputs-table.ts";
import { type QuestionId, questions, type ResultDocument } from "../report/result.ts";
import { structureSummary } from "../report/structure-summary.ts";
import { structureText } from "../report/structure-text.ts";
import { tableText } from "../report/table-text.ts";
import { editorSchema } from "../schema/editor-schema.ts";
import { caseTitle } from "../schema/load.ts";
import { type Design, openStudy, type RunOptions, runParts, type Study } from "../study.ts";
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
export function check(
  files: readonly string[],
  options: FileOptions & { readonly structure?: boolean; readonly inputs?: boolean },
  io: Io,
): void {
  const found = files.map((file) => {
    return withFile(file, options, ({ program, expansion, sampler }) => ({
      file,
      ...structureSummary(program, expansion, sampler.laws.warnings),
      ...(options.structure ? { structure: structureText(program, expansion) } : {}),
      ...(options.inputs ? { inputTable: inputsTable(program, sampler.laws) } : {}),
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
    if (one.unused.length > 0) io.out(`  inputs that nothing reads: ${one.unused.join(", ")}\n`);
    for (const { key, text } of one.warnings) io.out(`  ${key}: ${text}\n`);
    if (one.structure !== undefined) io.out(`${one.structure}\n`);
    if (one.inputTable !== undefined) io.out(`${tableText(one.inputTable)}\n`);
  }
}

/** Options of a run. */
export interface RunCommandOptions extends FileOptions {
  readonly draws?: number;
  readonly seed?: string;
  readonly design?: Design;
  readonly trace?: boolean;
  readonly stamp?: boolean;
  /** File for the draws and outcomes as CSV. */
  readonly csv?: string;
}

/** `run FILE`: all answers. */
export function run(file: string, options: RunCommandOptions, io: Io): void {
  const document = documentOf(file, options, io);
  if (options.json) {
    json(io, document);
    return;
  }
  printAll(document, io);
}

function documentOf(file: string, options: RunCommandOptions, io: Io): ResultDocument {
  return withFile(file, options, (study) => {
    const { document, table } = runParts(study, runOptions(options, io), (progress) => io.progress(progress));
    if (options.csv !== undefined) {
      if (table === undefined)
        throw inputError({ file, line: 1, column: 1, path: "runs.draws" }, "no-draws", "a CSV of draws");
      writeLines(options.csv, drawLines(study.program, table));
    }
    return document;
  });
}

/** All answers, for people. */
export function printAll(document: ResultDocument, io: Io): void {
  io.out(`${headLines(document)}\n`);
  for (const { id } of questions) io.out(`${answerLines(document, id)}\n`);
  io.out(footLines(document));
}

/** `ask QUESTION FILE`: one answer. */
export function ask(question: QuestionId, file: string, options: RunCommandOptions, io: Io): void {
  const document = documentOf(file, options, io);
  const answer = document.answers[question];
  if (answer === undefined)
    throw inputError({ file, line: 1, column: 1, path: "runs.draws" }, "no-draws", `the answer to ${question}`);
  if (options.json) {
    json(io, { meta: document.meta, answers: { [question]: answer } });
    return;
  }
  io.out(`${headLines(document)}\n${answerLines(document, question)}\n${footLines(document)}`);
}

function runOptions(options: RunCommandOptions, io: Io): RunOptions {
  const { draws, seed, design } = options;
  return {
    instantiate,
    ...(draws === undefined ? {} : { draws }),
    ...(seed === undefined ? {} : { seed }),
    ...(design === undefined ? {} : { design }),
    ...(options.csv === undefined ? {} : { keepRows: true }),
    ...(options.trace ? { trace: true } : {}),
    ...(options.stamp ? { generated: io.now() } : {}),
  };
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
