import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { setFlagsFromString } from "node:v8";
import { Piscina } from "piscina";
import { InputError, inputError } from "../errors.ts";
import { checkDraws, drawsOf, type Progress, type RunParts, runBoard, type Study } from "../study.ts";
import type { CaseCopy } from "./case-copy.ts";
import type { HelpReply, LeadReply, ThreadTask } from "./run-thread.ts";

/** A run for a pool. */
export interface PoolRun {
  readonly study: Study;
  /** What the study was opened from. */
  readonly copy: CaseCopy;
  readonly options: ThreadTask["options"];
  /** Threads that share the draws; 1 or more. No number depends on it. */
  readonly threads: number;
  /** Draws of a block, where it should not be the usual number. */
  readonly blockDraws?: number;
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

/** Threads that wait for runs, several runs at once if they come. */
export interface RunPool {
  /**
   * Runs a study; null if its signal came first: then within 100 ms, whatever a thread was busy with. Throws the case's
   * mistakes, and worker-lost where a thread ended on its own; later runs find another one.
   */
  run(run: PoolRun): Promise<RunParts | null>;
  /** The threads there are, by their number in this process. */
  readonly threads: readonly { readonly threadId: number; terminate(): Promise<number> }[];
  /** Ends all threads. */
  close(): Promise<void>;
}

// the built program, also where this file runs from its source
const filename = fileURLToPath(new URL("../../src/host/program.cjs", import.meta.url));
const built = fileURLToPath(new URL("../../dist/cli/main.cjs", import.meta.url));
const idleMilliseconds = 600_000;
const progressMilliseconds = 50;
// rows come and go by the megabyte: without a bound each thread lets 48 MB of them lie about
const youngMegabytes = 12;
// a cancelled thread that does not notice by itself in this time is ended
const graceMilliseconds = 60;

/** How the threads of a pool are kept. */
export interface PoolOptions {
  /** Threads hold little memory, for long runs, to which it does not matter that they are slower to begin. Default: no. */
  readonly isLean?: boolean;
}

/** A pool of at most so many threads, which start when the first run comes. */
export function runPool(most: number, { isLean = false }: PoolOptions = {}): RunPool {
  let started: Piscina | undefined;
  const failing = new Set<(error: unknown) => void>();
  const pool = (): Piscina => {
    if (started !== undefined) return started;
    if (!existsSync(built)) throw new Error(`not built: ${built} is missing; run \`npm run setup\``);
    // holds for threads that start from now on
    if (isLean) setFlagsFromString("--optimize-for-size");
    started = new Piscina({
      filename,
      minThreads: 1,
      maxThreads: most,
      idleTimeout: idleMilliseconds,
      resourceLimits: { maxYoungGenerationSizeMb: youngMegabytes },
    });
    // a thread that ends with nothing to do; those that wait for one would wait for ever
    started.on("error", (error) => {
      for (const fail of failing) fail(error);
    });
    return started;
  };
  return {
    async run(run) {
      if (run.signal?.aborted) return null;
      const draws = drawsOf(run.study, run.options);
      if (draws > 0) checkDraws(run.study, run.options);
      const pooled = new PooledRun(pool(), run, draws);
      failing.add(pooled.fail);
      try {
        return await pooled.parts();
      } finally {
        failing.delete(pooled.fail);
      }
    },
    get threads() {
      return started?.threads ?? [];
    },
    close: async () => started?.destroy(),
  };
}

/** One run on its way: the tasks of its threads, and what may go wrong with them. */
class PooledRun {
  private readonly pool: Piscina;
  private readonly run: PoolRun;
  private readonly total: number;
  private readonly threads: number;
  private readonly board: ReturnType<typeof runBoard>;
  private readonly end = new AbortController();
  private grace: NodeJS.Timeout | undefined;
  /** What ended threads that should have gone on. */
  private readonly lost: unknown[] = [];

  constructor(pool: Piscina, run: PoolRun, draws: number) {
    this.pool = pool;
    this.run = run;
    this.total = Math.max(1, draws);
    this.threads = draws > 0 ? run.threads : 1;
    const sizes = run.blockDraws === undefined ? {} : { blockDraws: run.blockDraws };
    this.board = runBoard(run.study, run.options, { threads: this.threads, isShared: true, ...sizes });
  }

  /** Ends the run because a thread was lost. */
  readonly fail = (error: unknown): void => {
    this.lost.push(error);
    this.cancel();
  };

  async parts(): Promise<RunParts | null> {
    const { signal } = this.run;
    signal?.addEventListener("abort", this.cancel, { once: true });
    const watch = this.watched();
    try {
      const helping = Array.from({ length: this.threads - 1 }, () => this.helped());
      const reply = await this.submitted<LeadReply>("lead");
      // helpers have nothing to do any more, however it ended
      this.board.cancel();
      await Promise.all(helping);
      return this.ending(reply);
    } finally {
      clearInterval(watch);
      clearTimeout(this.grace);
      signal?.removeEventListener("abort", this.cancel);
      // where threads ended, tasks of other runs may wait for one: this task starts it
      if (this.lost.length > 0) this.pool.run(undefined, { name: "rest" }).catch(() => {});
    }
  }

  /** Threads notice by themselves; those that do not in time are ended. */
  private readonly cancel = (): void => {
    this.board.cancel();
    this.grace ??= setTimeout(() => this.end.abort(), graceMilliseconds);
  };

  private watched(): NodeJS.Timeout {
    const { board, total, run } = this;
    run.onProgress?.({ done: 0, total });
    let told = 0;
    return setInterval(() => {
      const { done } = board;
      if (done === told || board.isCancelled) return;
      told = done;
      run.onProgress?.({ done, total });
    }, progressMilliseconds);
  }

  /** A task for a thread; undefined where the thread ended before the task was done. */
  private async submitted<Reply>(name: "lead" | "help"): Promise<Reply | undefined> {
    const { copy, options } = this.run;
    const task: ThreadTask = { copy, options, board: this.board.gift };
    try {
      return (await this.pool.run(task, { name, signal: this.end.signal })) as Reply;
    } catch (error) {
      this.fail(error);
      return undefined;
    }
  }

  private async helped(): Promise<void> {
    for (;;) {
      const reply = await this.submitted<HelpReply>("help");
      if (reply?.end === "bug") this.fail(new Error(reply.text));
      if (reply?.end !== "more") return;
    }
  }

  private ending(reply: LeadReply | undefined): RunParts | null {
    if (reply?.end === "done") return reply.parts;
    if (this.run.signal?.aborted) return null;
    if (reply?.end === "mistakes") throw new InputError(reply.findings);
    if (reply?.end === "bug") throw new Error(reply.text);
    const [why] = this.lost;
    const said = why instanceof Error ? why.message : String(why);
    throw inputError({ file: this.run.copy.path, line: 1, column: 1, path: "" }, "worker-lost", said);
  }
}
