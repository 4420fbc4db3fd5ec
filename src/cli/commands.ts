import { inputError } from "../errors.ts";
import { type CaseCopy, copied } from "../host/case-copy.ts";
import { folderFiles, fromHere, writeLines } from "../host/files.ts";
import { instantiate } from "../host/instantiate.ts";
import type { PoolRun } from "../host/run-pool.ts";
import { usualThreads } from "../host/usual-threads.ts";
import { drawLines } from "../report/draws-csv.ts";
import { inputsTable } from "../report/inputs-table.ts";
import { fitsTable } from "../report/register-fit.ts";
import { type QuestionId, questions, type ResultDocument } from "../report/result.ts";
import { structureSummary } from "../report/structure-summary.ts";
import { structureText } from "../report/structure-text.ts";
import { tableText } from "../report/table-text.ts";
import { editorSchema } from "../schema/editor-schema.ts";
import { caseTitle } from "../schema/load.ts";
import { type Design, drawsOf, openStudy, type RunParts, runParts, type Study } from "../study.ts";
import type { Io } from "./io.ts";
import { namedCase } from "./named-case.ts";
import { answerLines, footLines, headLines } from "./print.ts";

/** Options shared by the commands that read files. */
export interface FileOptions {
  readonly root?: string;
  readonly json?: boolean;
}

/** What `work` makes of a scenario, named by its file or its id. Throws the located errors of its files. */
export function withFile<T>(
  file: string,
  options: FileOptions,
  work: (study: Study, copy: CaseCopy) => T | Promise<T>,
): Promise<T> {
  const found = namedCase(file, options.root);
  return fromHere(found.root, () => {
    const { opened, copy } = copied(folderFiles(found.root), found.path, openStudy);
    return work(opened, copy);
  });
}

const json = (io: Io, value: unknown): void => io.out(`${JSON.stringify(value, null, 2)}\n`);

const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

/** `check FILE…`: reads, compiles and expands each file; says what it holds. */
export async function check(
  files: readonly string[],
  options: FileOptions & { readonly structure?: boolean; readonly inputs?: boolean },
  io: Io,
): Promise<void> {
  const found = [];
  for (const file of files) {
    const one = await withFile(file, options, ({ program, expansion, sampler }) => ({
      file,
      ...structureSummary(program, expansion, sampler.laws.warnings),
      ...(options.structure ? { structure: structureText(program, expansion) } : {}),
      ...(options.inputs ? { inputTable: inputsTable(program, sampler.laws), fitTable: fitsTable(program.fits) } : {}),
    }));
    found.push(one);
  }
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
    if (one.fitTable !== undefined && one.fitTable.rows.length > 0) io.out(`\n${tableText(one.fitTable)}\n`);
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
  /** Threads for the draws; as many as pay unless given. */
  readonly threads?: number;
}

/** `run FILE`: all answers. */
export async function run(file: string, options: RunCommandOptions, io: Io): Promise<void> {
  const document = await documentOf(file, options, io);
  if (options.json) {
    json(io, document);
    return;
  }
  printAll(document, io);
}

function documentOf(file: string, options: RunCommandOptions, io: Io, only?: QuestionId): Promise<ResultDocument> {
  return withFile(file, options, async (study, copy) => {
    const asked = runOptions(options, io, only);
    const { document, table } = await partsOf(study, copy, asked, options.threads, io);
    if (options.csv !== undefined) {
      if (table === undefined)
        throw inputError({ file, line: 1, column: 1, path: "runs.draws" }, "no-draws", "a CSV of draws");
      writeLines(options.csv, drawLines(study.program, table));
    }
    return document;
  });
}

// from here on the beginning of a run is little beside the rest
const manyDraws = 100_000;

/** A run in this thread, or in several where that pays or is asked for. */
async function partsOf(
  study: Study,
  copy: CaseCopy,
  asked: PoolRun["options"],
  wanted: number | undefined,
  io: Io,
): Promise<RunParts> {
  const onProgress = io.progress;
  const threads = drawsOf(study, asked) === 0 ? 1 : (wanted ?? usualThreads(study, asked));
  if (threads === 1) return runParts(study, { ...asked, instantiate }, onProgress);
  // loaded by those who need it
  const { runPool } = await import("../host/run-pool.ts");
  const pool = runPool(threads, { isLean: drawsOf(study, asked) >= manyDraws });
  try {
    const parts = await pool.run({ study, copy, options: asked, threads, onProgress });
    if (parts === null) throw new Error("a run ended that nobody cancelled");
    onProgress({ done: 1, total: 1 });
    return parts;
  } finally {
    await pool.close();
  }
}

/** All answers, for people. */
export function printAll(document: ResultDocument, io: Io): void {
  io.out(`${headLines(document)}\n`);
  for (const { id } of questions) io.out(`${answerLines(document, id)}\n`);
  io.out(footLines(document));
}

/** `ask QUESTION FILE`: one answer. */
export async function ask(question: QuestionId, file: string, options: RunCommandOptions, io: Io): Promise<void> {
  const document = await documentOf(file, options, io, question);
  const answer = document.answers[question];
  if (answer === undefined)
    throw inputError({ file, line: 1, column: 1, path: "runs.draws" }, "no-draws", `the answer to ${question}`);
  if (options.json) {
    json(io, { meta: document.meta, answers: { [question]: answer } });
    return;
  }
  io.out(`${headLines(document)}\n${answerLines(document, question)}\n${footLines(document)}`);
}

function runOptions(options: RunCommandOptions, io: Io, only: QuestionId | undefined): PoolRun["options"] {
  const { draws, seed, design } = options;
  return {
    ...(draws === undefined ? {} : { draws }),
    ...(seed === undefined ? {} : { seed }),
    ...(design === undefined ? {} : { design }),
    ...(options.csv === undefined ? {} : { keepRows: true }),
    ...(only === undefined ? {} : { only }),
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
