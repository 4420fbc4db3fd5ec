import { batch, computed, signal } from "@preact/signals";
import type { Finding } from "../src/errors.ts";
import type { OneWayAnswer } from "../src/report/one-way.ts";
import type { Register } from "../src/report/register.ts";
import type { ResultDocument } from "../src/report/result.ts";
import { type CaseTitle, type Changes, fetchCase, fetchCases, type RunProgress } from "./api.ts";
import { carriedOut } from "./carry-out.ts";
import { type DrawSettings, designOf, sameDraws } from "./draw-settings.ts";
import { changedText, type Edits, noEdits, sameEdits } from "./edits.ts";
import { type RunState, refused, runningText } from "./run-state.ts";

/** The scenarios to choose from. */
export const cases = signal<readonly CaseTitle[]>([]);
/** The scenario on the page. */
export const opened = signal<Register | null>(null);
/** The answers on the page. */
export const answered = signal<ResultDocument | null>(null);
/** The edits that the answers on the page come from. */
export const answeredEdits = signal<Edits>(noEdits);
/** The edits as they stand in the drawer. */
export const edits = signal<Edits>(noEdits);
/** The scenario's own checks that the reader chose to run without, by name. */
export const waived = signal<readonly string[]>([]);
/** The last answers with draws, and the edits they come from; null before there are any. */
export const drawn = signal<{ readonly document: ResultDocument; readonly edits: Edits } | null>(null);
/** What each input does by itself, or why that is not known, and the edits it belongs to. */
export const oneWay = signal<{ readonly answer: OneWayAnswer | string; readonly edits: Edits } | null>(null);
/** The mistakes of edits that nobody asked to run yet. */
export const liveFindings = signal<readonly Finding[]>([]);
/** What is going on. */
export const runState = signal<RunState>({ is: "at rest" });

const chosen = signal<Partial<DrawSettings>>({});

/** The draws made last; where there are none, those that the scenario would have made. */
const drawsAnswered = computed<DrawSettings>(() => {
  const meta = (drawn.value?.document ?? answered.value)?.meta;
  const runs = opened.value?.effective.runs;
  return {
    draws: meta?.draws ?? 0,
    seed: meta?.seed ?? String(runs?.seed ?? opened.value?.id ?? ""),
    design: designOf(meta?.design ?? runs?.design),
  };
});

/** The draws of the next run: what the reader chose, else those of the answers. */
export const drawsWanted = computed<DrawSettings>(() => ({ ...drawsAnswered.value, ...chosen.value }));

/** Chooses something about the draws of the next run. */
export function chooseDraws(some: Partial<DrawSettings>): void {
  chosen.value = { ...chosen.value, ...some };
}

/** True where the reader chose draws that are not those made last. */
export const drawsChanged = computed(() => !sameDraws(drawsWanted.value, drawsAnswered.value));

/** True where the last draws were made before the last edit; the answers then stand on base values. */
export const drawsStale = computed(() => drawn.value !== null && answered.value !== drawn.value.document);

/** True where a run would change something. */
export const canRun = computed(() => stale.value || drawsChanged.value || drawsStale.value);

/** True where the answers were computed before the last edit, or others are on their way. */
export const stale = computed(() => runState.value.is === "running" || !sameEdits(edits.value, answeredEdits.value));

/** The mistakes of the last refused run, else those of the edits as they stand. */
export const refusals = computed<readonly Finding[]>(() =>
  runState.value.is === "refused" ? runState.value.findings : liveFindings.value,
);

/** What the reader must know of the answers' age, in one line. */
export const standing = computed(() => {
  const state = runState.value;
  if (state.is === "running") return runningText(state);
  if (state.is === "refused") return `Refused: ${state.message}`;
  if (stale.value) {
    const [first] = liveFindings.value;
    return first === undefined ? `${changedText(edits.value)}, not run yet` : `Not computed: ${first.message}`;
  }
  return state.is === "cancelled" ? "Cancelled; the answers are those from before" : "";
});

let underWay: AbortController | null = null;

/** Takes the refusal of a run away once the edits are others. */
export function forgetRefusal(present: Edits): void {
  const state = runState.peek();
  if (state.is === "refused" && !sameEdits(state.asked, present)) runState.value = { is: "at rest" };
}

/**
 * Reads the list of scenarios and opens the one named by the address, else the first that stands by itself. Call once.
 */
export async function start(wanted: string | null): Promise<void> {
  try {
    cases.value = await fetchCases();
    const base = cases.value.find((one) => one.extends === null);
    const first = cases.value.find(({ id }) => id === wanted) ?? base ?? cases.value[0];
    if (first !== undefined) await openCase(first.id);
  } catch (error) {
    runState.value = refused(error);
  }
}

/** Opens a scenario and answers it from its base values. */
export async function openCase(id: string): Promise<void> {
  cancelRun();
  opened.value = null;
  answered.value = null;
  drawn.value = null;
  oneWay.value = null;
  liveFindings.value = [];
  edits.value = noEdits;
  answeredEdits.value = noEdits;
  waived.value = [];
  chosen.value = {};
  runState.value = { is: "at rest" };
  try {
    opened.value = await fetchCase(id);
    await runAgain(0);
  } catch (error) {
    runState.value = refused(error);
  }
}

/** Runs the scenario with the edits as they stand; draws as wanted unless given. */
export async function runAgain(draws: number = drawsWanted.value.draws): Promise<void> {
  const scenario = opened.value?.id;
  if (scenario === undefined) return;
  underWay?.abort();
  const own = new AbortController();
  underWay = own;
  const asked = edits.value;
  const settings = { ...drawsWanted.value, draws };
  runState.value = { is: "running", done: 0, total: 0, draws };
  try {
    const onProgress = ({ done, total }: RunProgress): void => {
      if (underWay === own) runState.value = { is: "running", done, total, draws };
    };
    const changes = changesOf(asked, waived.value);
    const document = await carriedOut(scenario, changes, settings, onProgress, own.signal);
    if (underWay !== own) return;
    batch(() => {
      answered.value = document;
      answeredEdits.value = asked;
      drawn.value = document.meta.draws > 0 ? { document, edits: asked } : null;
      chosen.value = {};
      liveFindings.value = [];
      runState.value = { is: "at rest" };
    });
  } catch (error) {
    if (underWay === own) runState.value = own.signal.aborted ? { is: "cancelled" } : refused(error, asked);
  } finally {
    if (underWay === own) underWay = null;
  }
}

/**
 * Shows answers from base values for edits as they stand; where these are the edits of the last draws, the answers with
 * draws return. A run under way goes first.
 */
export function showLive(document: ResultDocument, asked: Edits): void {
  if (runState.value.is === "running" || !sameEdits(asked, edits.value)) return;
  batch(() => {
    const isDrawn = drawn.value !== null && sameEdits(asked, drawn.value.edits);
    answered.value = isDrawn ? drawn.value!.document : document;
    // how the last run of these same edits ended stays in view
    if (!sameEdits(asked, answeredEdits.value)) runState.value = { is: "at rest" };
    answeredEdits.value = asked;
  });
}

/**
 * The edits as changes to the scenario: evidence under `inputs`, weights of variants under `alternatives`; checks that
 * are waived are replaced by one that always holds.
 */
export function changesOf(asked: Edits, without: readonly string[]): Changes {
  const isWeights = (name: string): boolean =>
    opened.value?.inputs.find((input) => input.name === name)?.declaration === null;
  const entries = Object.entries(asked);
  const inputs = entries.filter(([name]) => !isWeights(name));
  const alternatives = entries.filter(([name]) => isWeights(name));
  return {
    ...(inputs.length > 0 ? { inputs: Object.fromEntries(inputs) } : {}),
    ...(alternatives.length > 0 ? { alternatives: Object.fromEntries(alternatives) } : {}),
    ...(without.length > 0 ? { expect: Object.fromEntries(without.map((name) => [name, "1 == 1"])) } : {}),
  };
}

/** Runs again without some of the scenario's own checks. */
export function runWithout(checks: readonly string[]): void {
  waived.value = [...new Set([...waived.value, ...checks])];
  void runAgain();
}

/** Takes all changes back; the answers stay until the next run. */
export function resetAll(): void {
  edits.value = noEdits;
  waived.value = [];
}

/** Stops the run under way; the answers on the page stay. */
export function cancelRun(): void {
  underWay?.abort();
}
