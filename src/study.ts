import { type StrategyResult, strategyResults } from "./analysis/base-case.ts";
import { DrawBoard } from "./analysis/draw-board.ts";
import { type DesignName, type DrawPlan, type DrawWork, helpDraws, leadDraws } from "./analysis/draw-run.ts";
import { checkExpectations } from "./analysis/expectations.ts";
import { oneWayRows } from "./analysis/one-way.ts";
import { compile } from "./compile/compile.ts";
import { type Expansion, expand, stateLabel } from "./compile/expand.ts";
import type { Instantiate } from "./compile/kernel/module.ts";
import type { Program } from "./compile/program.ts";
import { structureKey } from "./compile/structure-key.ts";
import { KeptTraces } from "./engine/kept-traces.ts";
import { referee, type TraceOptions } from "./engine/reference.ts";
import { type Prepared, prepareRows, rowBlocks } from "./engine/rows.ts";
import { type Sampler, sampler } from "./engine/sample.ts";
import type { Traced } from "./engine/traced.ts";
import { inputError } from "./errors.ts";
import { KEPT_ORDERS } from "./numerics/designs/stratified.ts";
import { PAGE_DRAWS } from "./numerics/random-stream.ts";
import { comparedAnswer } from "./report/compared.ts";
import { costsAnswer } from "./report/costs.ts";
import type { DrawTable } from "./report/draws-csv.ts";
import { type OneWayAnswer, oneWayAnswer } from "./report/one-way.ts";
import { type QuestionId, type ResultDocument, resultMeta, type TraceTable } from "./report/result.ts";
import { runSize } from "./report/run-size.ts";
import { sureAnswer } from "./report/sure-answer.ts";
import { worksAnswer } from "./report/works.ts";
import { worthFromBase, worthFromDraws } from "./report/worth.ts";
import { placeIn } from "./schema/document.ts";
import type { FileSource } from "./schema/files.ts";
import { loadCase } from "./schema/load.ts";
import { ParsedTexts } from "./schema/parsed-texts.ts";

/** A scenario ready to run. */
export interface Study {
  readonly program: Program;
  readonly expansion: Expansion;
  /** The laws of its inputs, from which draws are made. */
  readonly sampler: Sampler;
}

/**
 * Text to program: reads a scenario with its model, checks everything, expands the joint states. Who opens much the same
 * case again and again gives the same `texts`, and nothing is parsed twice.
 */
export function openStudy(files: FileSource, path: string, texts: ParsedTexts = new ParsedTexts()): Study {
  const program = compile(loadCase(files, path, texts), files);
  return { program, expansion: expand(program), sampler: sampler(program) };
}

/** The base values of all scalar inputs, the row of the base case. */
export function baseRow(program: Program): Float64Array {
  return Float64Array.from(program.components, (component) => component.base);
}

/** One row through the referee: `[compared strategy][group]`. */
export function runReference(
  study: Study,
  row: Float64Array,
  { kept, ...options }: TraceOptions & { readonly kept?: KeptTraces | undefined } = {},
): readonly (readonly Traced[])[] {
  const { program, expansion } = study;
  const evaluate = referee(program, expansion, options);
  const groups = program.groups.map(({ index }) => index);
  return program.analysis.compare.map((s) =>
    kept === undefined ? evaluate(row, s, groups) : kept.trace(s, row, (watched) => evaluate(watched, s, groups)),
  );
}

/** What studies that differ in the values of their inputs alone can leave to one another; `key` tells them. */
export interface Legacy {
  readonly key: string;
  readonly traces: KeptTraces;
}

/** What a study inherits from the one before it, where that has the same structure; else a new start. */
export function inherited({ program, expansion }: Study, before: Legacy | null): Legacy {
  const key = structureKey(program, expansion);
  return before?.key === key ? before : { key, traces: new KeptTraces() };
}

/** What a run should do; what is not given comes from the scenario's `runs`. */
export interface RunOptions {
  /** Number of draws; 0 forces the base case alone. */
  readonly draws?: number;
  readonly seed?: string;
  readonly design?: Design;
  /** Starts WebAssembly, where the host has it: the same bits, sooner. */
  readonly instantiate?: Instantiate;
  /** What was made ready for rows of this study before (see `readyRows`); made here unless given. */
  readonly ready?: () => Prepared;
  /** Where the threads of this run meet (see `runBoard`); a run without one has one thread. */
  readonly board?: DrawBoard;
  /** What the base case may take over from a study like this one (see `inherited`). */
  readonly legacy?: Legacy;
  /** Keeps all rows of inputs and outcomes, for export. */
  readonly keepRows?: boolean;
  /** The one question whose answer will be read: the base case leaves out what others alone need until they are read. */
  readonly only?: QuestionId;
  /** Adds who is where at each boundary, from base values. */
  readonly trace?: boolean;
  /** Time of making, an ISO text; left out unless asked for, so that the same case gives the same document. */
  readonly generated?: string;
}

/** How uniforms are laid out over draws. */
export type Design = DesignName;

/** How far a run has come. */
export interface Progress {
  readonly done: number;
  readonly total: number;
}

/** A run's document, with its draws where they were to be kept. */
export interface RunParts {
  readonly document: ResultDocument;
  readonly table?: DrawTable;
}

/** Makes a study ready for rows; what is made serves one run after another of the same study. */
export function readyRows({ program, expansion }: Study, instantiate?: Instantiate): Prepared {
  return prepareRows(program, expansion, instantiate === undefined ? {} : { instantiate });
}

/** Number of draws a run makes; 0 for the base case alone. */
export function drawsOf({ program }: Study, options: RunOptions = {}): number {
  return options.draws ?? program.scenario.data.runs?.draws ?? 0;
}

/** States x cycles x compared strategies x groups x draws of a run: what it takes, roughly. */
export function cellDraws(study: Study, options: RunOptions): number {
  return runSize(study.program, study.expansion, drawsOf(study, options)).cellDraws;
}

/** How a run is shared among threads; no number depends on it. */
export interface BoardOptions {
  /** Threads that will work on it. Default: 1. */
  readonly threads?: number;
  /** Whether its memory can be handed to other threads. Default: no. */
  readonly isShared?: boolean;
  /** Draws of a block; 1 or more. Default: as suits the run. */
  readonly blockDraws?: number;
}

/** A board in a form that other threads can be given. */
export type BoardGift = DrawBoard["gift"];

/** Where the threads of a run meet. */
export function runBoard(study: Study, options: RunOptions, sizes: BoardOptions = {}): DrawBoard {
  const { threads = 1, isShared = false } = sizes;
  const { analysis, accounts, groups, components } = study.program;
  const { draws, design } = drawPlan(study, options);
  const shape = {
    draws,
    blockDraws: Math.max(1, Math.min(draws, sizes.blockDraws ?? usualBlockDraws(draws, threads, design))),
    slots: threads === 1 ? 1 : 4 * threads,
    strategies: analysis.compare.length,
    accounts: accounts.length,
    groups: groups.length,
    kept: options.keepRows ? components.length : 0,
  };
  return isShared ? DrawBoard.shared(shape) : new DrawBoard(shape);
}

/** The board another thread was given. */
export function joinBoard({ shape, memory }: BoardGift): DrawBoard {
  return new DrawBoard(shape, memory);
}

/** A page of the random streams, less where threads would run out of blocks; long where a block costs a shuffle of all. */
function usualBlockDraws(draws: number, threads: number, design: Design): number {
  if (design === "stratified" && draws > KEPT_ORDERS) return 16 * PAGE_DRAWS;
  let block = PAGE_DRAWS;
  while (block > 64 && block * threads * 8 > draws && threads > 1) block /= 2;
  return block;
}

function drawPlan(study: Study, options: RunOptions): DrawPlan {
  const { runs, scenario } = study.program.scenario.data;
  const seed = options.seed ?? String(runs?.seed ?? scenario);
  return { draws: drawsOf(study, options), seed, design: options.design ?? runs?.design ?? "plain" };
}

function drawWork(study: Study, options: RunOptions): DrawWork {
  return {
    sampler: study.sampler,
    prepared: options.ready?.() ?? readyRows(study, options.instantiate),
    plan: drawPlan(study, options),
    board: options.board ?? runBoard(study, options),
  };
}

/**
 * What a thread other than the one that drives `partSteps` does for a run: blocks of draws, until none is left or the
 * board is cancelled, or until `mayStop`, which is asked between blocks. Returns whether blocks are left. Its options are
 * those of the run, the same board among them.
 */
export function helpRun(study: Study, options: RunOptions, mayStop: () => boolean): boolean {
  return helpDraws(drawWork(study, options), mayStop);
}

/**
 * A run in steps: yields after each block of draws, so that a host can show progress, do other things between blocks,
 * or stop by dropping the generator. Throws what the case's expressions and evidence make it throw.
 */
export function* partSteps(study: Study, options: RunOptions = {}): Generator<Progress, RunParts> {
  const { program } = study;
  const draws = drawsOf(study, options);
  const total = Math.max(1, draws);
  yield { done: 0, total };
  if (draws > 0) checkDraws(study, options);
  if (draws === 0) return { document: runBase(study, options) };
  const { only: _, ...whole } = options;
  const document = runBase(study, whole);
  const work = drawWork(study, options);
  const steps = leadDraws(work);
  let step = steps.next();
  while (!step.done) {
    yield { done: step.value, total };
    step = steps.next();
  }
  const { outcomes, kept } = step.value;
  const worth = worthFromDraws(program, document.answers.worth, outcomes);
  const answers = { ...document.answers, worth, sure: sureAnswer(program, outcomes) };
  const meta = { ...document.meta, ...work.plan };
  return {
    document: { ...document, meta, answers },
    ...(kept === null ? {} : { table: { draws, rows: kept.rows, outcomes: kept.totals } }),
  };
}

const fewestByDesign = 16;

/** Throws where a run of so many draws, or under such a seed, cannot be. */
export function checkDraws(study: Study, options: RunOptions): void {
  const { draws, seed, design } = drawPlan(study, options);
  const place = placeIn(study.program.scenario, ["runs"], true);
  if (seed.includes("/") || seed.length > 100) throw inputError(place, "seed-invalid", seed);
  const fewest = design === "plain" ? 2 : fewestByDesign;
  if (draws < fewest)
    throw inputError(place, "out-of-range", `draws of a ${design} run`, String(draws), `at least ${fewest}`);
}

/** A run from start to end, with its draws. */
export function runParts(study: Study, options: RunOptions = {}, onProgress?: (progress: Progress) => void): RunParts {
  const steps = partSteps(study, options);
  for (;;) {
    const step = steps.next();
    if (step.done) {
      onProgress?.({ done: 1, total: 1 });
      return step.value;
    }
    onProgress?.(step.value);
  }
}

/** The document of a run from start to end. */
export function runStudy(study: Study, options: RunOptions = {}): ResultDocument {
  return runParts(study, options).document;
}

/** The base case answered: program to rows to outcomes to answers. Throws expectation-failed. */
export function runBase(study: Study, options: RunOptions = {}): ResultDocument {
  const { program, expansion } = study;
  const row = baseRow(program);
  const { only, trace = false } = options;
  const boundaries = only === undefined || only === "works" || trace;
  const kept = boundaries ? options.legacy?.traces : undefined;
  const results = strategyResults(program, runReference(study, row, { kept, boundaries }));
  const unmet = checkExpectations(program, row, results);
  let works = boundaries ? worksAnswer(program, results, expansion.states) : undefined;
  return {
    meta: resultMeta(program, {
      seed: null,
      draws: 0,
      design: null,
      generated: options.generated ?? null,
      warnings: study.sampler.laws.warnings,
      unmet,
    }),
    answers: {
      compared: comparedAnswer(program, results),
      get works() {
        works ??= runBase(study).answers.works;
        return works;
      },
      costs: costsAnswer(program, results),
      worth: worthFromBase(program, results),
    },
    ...(trace ? { trace: traceTables(study, results) } : {}),
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

const oneWayBlock = 32;

/**
 * What each uncertain input does by itself, in steps: yields the number of rows done after each block. Throws what the
 * referee finds wrong with the first bad row, and out-of-range where a law reaches outside its input's range.
 */
export function* oneWaySteps(study: Study, ready: Prepared = readyRows(study)): Generator<number, OneWayAnswer> {
  const { program, sampler: laws } = study;
  const asked = oneWayRows(laws);
  const outcomes = yield* rowBlocks(ready, asked.rows, { blockRows: oneWayBlock });
  return oneWayAnswer(program, asked, outcomes);
}
