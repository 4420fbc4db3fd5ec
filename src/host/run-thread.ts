// What threads of a pool do, one task at a time; `run-pool.ts` gives the tasks.
import { type Finding, InputError } from "../errors.ts";
import { ParsedTexts } from "../schema/parsed-texts.ts";
import {
  type BoardGift,
  helpRun,
  joinBoard,
  openStudy,
  partSteps,
  type RunOptions,
  type RunParts,
  readyRows,
  type Study,
} from "../study.ts";
import { type CaseCopy, copyFiles } from "./case-copy.ts";
import { instantiate } from "./instantiate.ts";

/** What a run is, in a form that threads can be given. */
export interface ThreadTask {
  readonly copy: CaseCopy;
  readonly options: Pick<RunOptions, "draws" | "seed" | "design" | "keepRows" | "only" | "trace" | "generated">;
  /** Where its threads meet. */
  readonly board: BoardGift;
}

/** How the lead's part ended. */
export type LeadReply =
  | { readonly end: "done"; readonly parts: RunParts }
  | { readonly end: "mistakes"; readonly findings: readonly Finding[] }
  | { readonly end: "cancelled" }
  | { readonly end: "bug"; readonly text: string };

/** How a helper's part ended; "more" where blocks are left. */
export type HelpReply = { readonly end: "more" | "done" } | { readonly end: "bug"; readonly text: string };

interface Opened {
  readonly id: number;
  readonly study: Study;
  readonly ready: () => ReturnType<typeof readyRows>;
}

// a second run of the same case finds everything ready, kernels included
const keptCases = 3;
const parsed = new ParsedTexts();
let kept: readonly Opened[] = [];

function opened(copy: CaseCopy): Opened {
  let one = kept.find(({ id }) => id === copy.id);
  if (one === undefined) {
    const study = openStudy(copyFiles(copy), copy.path, parsed);
    let ready: ReturnType<typeof readyRows> | undefined;
    one = {
      id: copy.id,
      study,
      ready() {
        ready ??= readyRows(study, instantiate);
        return ready;
      },
    };
  }
  kept = [one, ...kept.filter((other) => other !== one)].slice(0, keptCases);
  return one;
}

/** The lead's part of a run: everything that helpers do not do. */
export function lead({ copy, options, board: gift }: ThreadTask): LeadReply {
  const board = joinBoard(gift);
  try {
    const { study, ready } = opened(copy);
    const steps = partSteps(study, { ...options, ready, board });
    for (;;) {
      if (board.isCancelled) return { end: "cancelled" };
      const step = steps.next();
      if (step.done) return { end: "done", parts: step.value };
    }
  } catch (error) {
    return error instanceof InputError ? { end: "mistakes", findings: error.findings } : bug(error);
  }
}

// others may wait for this thread; texts and kernels stay here meanwhile
const sliceMilliseconds = 500;

/** A helper's part of a run, of a limited time. */
export function help({ copy, options, board: gift }: ThreadTask): HelpReply {
  const board = joinBoard(gift);
  const end = performance.now() + sliceMilliseconds;
  try {
    const { study, ready } = opened(copy);
    const isMore = helpRun(study, { ...options, ready, board }, () => performance.now() > end);
    return { end: isMore ? "more" : "done" };
  } catch (error) {
    return bug(error);
  }
}

/** Does nothing: where this task is done, a thread is there. */
export function rest(): void {}

function bug(error: unknown): { readonly end: "bug"; readonly text: string } {
  return { end: "bug", text: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}
