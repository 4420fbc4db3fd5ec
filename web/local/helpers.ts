import { type BoardGift, helpRun, joinBoard } from "../../src/study.ts";
import type { CaseTexts, Changes } from "../api.ts";
import type { DrawSettings } from "../draw-settings.ts";
import { LocalCase } from "./local-case.ts";

/** A run's part for another thread. */
export interface HelpTask {
  readonly ask: "help";
  readonly texts: CaseTexts;
  readonly changes: Changes;
  readonly settings: DrawSettings;
  readonly board: BoardGift;
}

/** Most threads that a page takes, its own worker among them. */
const most = 8;

/** Threads that this browser offers for one run: one where memory cannot be shared. */
export function threadsHere(): number {
  const canShare = typeof SharedArrayBuffer === "function" && globalThis.crossOriginIsolated;
  return canShare ? Math.max(1, Math.min(most, navigator.hardwareConcurrency)) : 1;
}

const idle: Worker[] = [];

/** Gives a task to so many further threads, which are started where there are none yet. */
export function askHelp(count: number, task: HelpTask): void {
  while (idle.length < count) {
    const worker = new Worker(location.href, { type: "module" });
    worker.addEventListener("error", () => {
      idle.splice(idle.indexOf(worker), 1);
      worker.terminate();
      joinBoard(task.board).cancel();
    });
    idle.push(worker);
  }
  for (const worker of idle.slice(0, count)) worker.postMessage(task);
}

let known: { readonly key: string; readonly local: LocalCase } | null = null;

/** Does a task in this thread. Where something goes wrong that the lead will not find, the run is cancelled. */
export function help({ texts, changes, settings, board: gift }: HelpTask): void {
  const board = joinBoard(gift);
  const key = JSON.stringify(texts);
  if (known?.key !== key) known = { key, local: new LocalCase(texts) };
  try {
    const { study, ready } = known.local.open(changes);
    helpRun(study, { ...settings, ready, board }, () => false);
  } catch (error) {
    board.cancel();
    throw error;
  }
}
