import { signal } from "@preact/signals";
import type { OneWayAnswer } from "../../src/report/one-way.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { type Changes, fetchTexts, Problem, type RunProgress } from "../api.ts";
import type { DrawSettings } from "../draw-settings.ts";
import type { Asked, Told } from "./protocol.ts";

/** How far the page's own worker is: `ready` once it has the scenario's texts; `failed` where it cannot be had. */
export const localState = signal<"off" | "warming" | "ready" | "failed">("off");

/** What a reader of answers is told, in this order. */
export interface Listener {
  readonly document: (document: ResultDocument) => void;
  /** The answer, or why there is none. */
  readonly oneWay: (answer: OneWayAnswer | string) => void;
  readonly refused: (problem: Problem) => void;
}

let worker: Worker | null = null;
let ticket = 0;
let listening: ((told: Told) => void) | null = null;
let opening = "";

const ask = (asked: Asked): void => worker?.postMessage(asked);

/** Starts the worker where there is none yet, and gives it the texts of a scenario. What goes wrong is only noted. */
export async function warm(scenario: string): Promise<void> {
  opening = scenario;
  listening = null;
  ask({ ask: "stop" });
  localState.value = "warming";
  try {
    const texts = await fetchTexts(scenario);
    if (opening !== scenario) return;
    worker ??= started();
    ask({ ask: "open", texts });
  } catch {
    localState.value = "failed";
  }
}

function started(): Worker {
  const own = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  own.addEventListener("message", ({ data }: MessageEvent<Told>) => {
    if (data.tell === "ready") localState.value = "ready";
    else if (data.ticket === ticket) listening?.(data);
  });
  own.addEventListener("error", () => {
    localState.value = "failed";
  });
  return own;
}

/** Forgets what was asked; nobody is told any more. */
export function askNothing(): void {
  listening = null;
  ask({ ask: "stop" });
}

/** Asks for the base case and for what each input does by itself; whatever was asked before is forgotten. */
export function askAnswers(changes: Changes, listener: Listener): void {
  ticket += 1;
  listening = (told) => {
    if (told.tell === "document") listener.document(told.document);
    else if (told.tell === "one way") listener.oneWay(told.answer);
    else if (told.tell === "no one way") listener.oneWay(told.why);
    else if (told.tell === "refused") listener.refused(new Problem(told.message, told.findings));
  };
  ask({ ask: "answer", ticket, changes });
}

/** Runs a scenario with draws in the page's own worker. Throws a `Problem` where it is refused. */
export function runLocally(
  changes: Changes,
  settings: DrawSettings,
  onProgress: (progress: RunProgress) => void,
  signal: AbortSignal,
): Promise<ResultDocument> {
  ticket += 1;
  return new Promise((resolve, reject) => {
    signal.addEventListener("abort", () => {
      askNothing();
      reject(signal.reason);
    });
    listening = (told) => {
      if (told.tell === "document") resolve(told.document);
      else if (told.tell === "progress") onProgress(told.progress);
      else if (told.tell === "refused") reject(new Problem(told.message, told.findings));
    };
    ask({ ask: "run", ticket, changes, settings });
  });
}
