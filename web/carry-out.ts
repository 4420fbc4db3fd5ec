import { signal } from "@preact/signals";
import type { ResultDocument } from "../src/report/result.ts";
import { type Changes, Problem, type RunProgress, runCase } from "./api.ts";
import type { DrawSettings } from "./draw-settings.ts";
import { localState, runLocally } from "./local/local.ts";

/** Where draws are to be made. */
export const runsWhere = signal<"server" | "browser">("server");

/** Where the last run was made, in a sentence; empty for the server. */
export const computedHere = signal("");

/**
 * A run on the server or, where the reader says so or no server answers, in the page's own worker; with the same bits.
 * Throws a `Problem` where it is refused.
 */
export async function carriedOut(
  scenario: string,
  changes: Changes,
  settings: DrawSettings,
  onProgress: (progress: RunProgress) => void,
  signal: AbortSignal,
): Promise<ResultDocument> {
  const { draws, seed, design } = settings;
  const here = (why: string): Promise<ResultDocument> => {
    computedHere.value = why;
    return runLocally(changes, settings, onProgress, signal);
  };
  const canRunHere = localState.value === "ready";
  if (draws > 0 && runsWhere.value === "browser" && canRunHere) return here("Computed in this browser.");
  const hasChanges = Object.keys(changes).length > 0;
  const request = { scenario, draws, ...(draws === 0 ? {} : { seed, design }), ...(hasChanges ? { changes } : {}) };
  try {
    const document = await runCase(request, onProgress, signal);
    computedHere.value = "";
    return document;
  } catch (error) {
    // what is no answer of the server is the lack of one
    if (error instanceof Problem || signal.aborted || !canRunHere) throw error;
    return here("The server does not answer: computed in this browser.");
  }
}
