import "./no-jit.ts";
import { InputError } from "../../src/errors.ts";
import { cellDraws, oneWaySteps, partSteps, runBase, runBoard } from "../../src/study.ts";
import type { CaseTexts } from "../api.ts";
import { askHelp, type HelpTask, help, threadsHere } from "./helpers.ts";
import { kernels } from "./kernels.ts";
import { LocalCase } from "./local-case.ts";
import type { Asked, Told } from "./protocol.ts";

// The same core as on the server, in a thread of the page's own. Work goes in steps with a pause in between, in which a
// newer question is heard; it makes the older one pointless.

type Opened = NonNullable<typeof open>;

/** A question that is answered under a ticket. */
type Question = Extract<Asked, { readonly ticket: number }>;

/** Ends the work on a question that nobody waits for any more. */
class Superseded extends Error {}

let open: { readonly texts: CaseTexts; readonly local: LocalCase } | null = null;
let newest: Question | null = null;
let isBusy = false;

const tell = (told: Told): void => postMessage(told);

addEventListener("message", ({ data }: MessageEvent<Asked | HelpTask>) => {
  if (data.ask === "help") help(data);
  else if (data.ask === "open") {
    open = { texts: data.texts, local: new LocalCase(data.texts) };
    newest = null;
    tell({ tell: "ready", threads: threadsHere(), hasKernels: kernels.instantiate !== undefined });
  } else if (data.ask === "stop") newest = null;
  else {
    newest = data;
    void work();
  }
});

async function work(): Promise<void> {
  if (isBusy) return;
  isBusy = true;
  let done: Question | null = null;
  while (newest !== null && newest !== done && open !== null) {
    done = newest;
    await answered(done, open);
  }
  isBusy = false;
}

async function answered(question: Question, from: Opened): Promise<void> {
  const { ticket } = question;
  const isNewest = (): boolean => newest === question && open === from;
  try {
    await pause(isNewest);
    if (question.ask === "answer") await answer(question, from, isNewest);
    else await run(question, from, isNewest);
  } catch (error) {
    if (error instanceof Superseded || !isNewest()) return;
    if (!(error instanceof InputError)) console.error(error);
    const findings = error instanceof InputError ? error.findings : [];
    const message = error instanceof Error ? error.message : String(error);
    tell({ tell: "refused", ticket, message, findings });
  }
}

/** The base case, then what each input does by itself. */
async function answer(
  { ticket, changes }: Extract<Question, { ask: "answer" }>,
  from: Opened,
  isNewest: () => boolean,
): Promise<void> {
  const { study, legacy, readyLike } = from.local.open(changes);
  await pause(isNewest);
  tell({ tell: "document", ticket, document: runBase(study, { legacy }) });
  await pause(isNewest);
  try {
    const steps = oneWaySteps(study, readyLike());
    let step = steps.next();
    while (!step.done) {
      await pause(isNewest);
      step = steps.next();
    }
    tell({ tell: "one way", ticket, answer: step.value });
  } catch (error) {
    // the base case stands; the end of some interval cannot be computed
    if (!(error instanceof InputError)) throw error;
    tell({ tell: "no one way", ticket, why: error.findings[0]?.message ?? error.message });
  }
}

// cells below which a run is over before other threads have begun
const worthSharing = 5e7;

/** A run with draws, shared among threads where that pays. */
async function run(
  { ticket, changes, settings, threads }: Extract<Question, { ask: "run" }>,
  { texts, local }: Opened,
  isNewest: () => boolean,
): Promise<void> {
  const { study, ready } = local.open(changes);
  const wanted = threads ?? (cellDraws(study, settings) < worthSharing ? 1 : threadsHere());
  const count = settings.draws > 0 ? wanted : 1;
  const board = runBoard(study, settings, { threads: count, isShared: count > 1 });
  try {
    if (count > 1) askHelp(count - 1, { ask: "help", texts, changes, settings, board: board.gift });
    const steps = partSteps(study, { ...settings, ready, board });
    let step = steps.next();
    while (!step.done) {
      tell({ tell: "progress", ticket, progress: step.value });
      await pause(isNewest);
      if (board.isCancelled) throw new Error("a thread of this run was lost; run it again");
      step = steps.next();
    }
    tell({ tell: "document", ticket, document: step.value.document });
  } finally {
    board.cancel();
  }
}

const channel = new MessageChannel();
const waiting: (() => void)[] = [];
channel.port1.onmessage = () => waiting.shift()?.();

/** Lets messages be heard. Throws `Superseded` where one of them makes the work pointless. */
async function pause(isNewest: () => boolean): Promise<void> {
  await new Promise<void>((resolve) => {
    waiting.push(resolve);
    channel.port2.postMessage(null);
  });
  if (!isNewest()) throw new Superseded();
}
