import { availableParallelism } from "node:os";
import { cellDraws, type RunOptions, type Study } from "../study.ts";

/** Most threads a run takes unless more are asked for. */
const mostThreads = 8;

/** A thread takes about as long to start and to open a case as for so many steps of states. */
const cellDrawsOfStart = 1e9;

/** Threads of this machine that a run may take. */
export function threadsHere(): number {
  return Math.min(mostThreads, availableParallelism());
}

/** Threads for a run: one for few draws, or what the machine has, up to 8. */
export function usualThreads(study: Study, options: RunOptions): number {
  return Math.min(threadsHere(), 1 + Math.floor(cellDraws(study, options) / cellDrawsOfStart));
}
