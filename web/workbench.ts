import { computed, signal } from "@preact/signals";
import type { Finding } from "../src/errors.ts";
import { countText } from "../src/report/format.ts";
import type { Register } from "../src/report/register.ts";
import {
  type AnsweredDocument,
  type CaseTitle,
  fetchCase,
  fetchCases,
  Problem,
  type RunRequest,
  runCase,
} from "./api.ts";
import { changedText, type Edits, noEdits, sameEdits } from "./edits.ts";

/** What the page is doing about its answers. */
export type RunState =
  | { readonly is: "at rest" }
  | { readonly is: "running"; readonly done: number; readonly total: number; readonly draws: number }
  | { readonly is: "cancelled" }
  | { readonly is: "refused"; readonly message: string; readonly findings: readonly Finding[] };

/** The scenarios to choose from. */
export const cases = signal<readonly CaseTitle[]>([]);
/** The scenario on the page. */
export const opened = signal<Register | null>(null);
/** The answers on the page. */
export const answered = signal<AnsweredDocument | null>(null);
/** The edits that the answers on the page come from. */
export const answeredEdits = signal<Edits>(noEdits);
/** The edits as they stand in the drawer. */
export const edits = signal<Edits>(noEdits);
/** What is going on. */
export const runState = signal<RunState>({ is: "at rest" });

/** True where the answers were computed before the last edit, or others are on their way. */
export const stale = computed(() => runState.value.is === "running" || !sameEdits(edits.value, answeredEdits.value));

/** The mistakes of the last refused run. */
export const refusals = computed<readonly Finding[]>(() =>
  runState.value.is === "refused" ? runState.value.findings : [],
);

/** What the reader must know of the answers' age, in one line. */
export const standing = computed(() => {
  const state = runState.value;
  if (state.is === "running") return runningText(state);
  if (state.is === "refused") return `Refused: ${state.message}`;
  if (stale.value) return `${changedText(edits.value)}, not run yet`;
  return state.is === "cancelled" ? "Cancelled; the answers are those from before" : "";
});

let underWay: AbortController | null = null;

function refused(error: unknown): RunState {
  if (error instanceof Problem) return { is: "refused", message: error.message, findings: error.findings };
  return { is: "refused", message: error instanceof Error ? error.message : String(error), findings: [] };
}

/** Reads the list of scenarios and opens the one named by the address, else the first. Call once. */
export async function start(wanted: string | null): Promise<void> {
  try {
    cases.value = await fetchCases();
    const first = cases.value.find(({ id }) => id === wanted) ?? cases.value[0];
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
  edits.value = noEdits;
  answeredEdits.value = noEdits;
  runState.value = { is: "at rest" };
  try {
    opened.value = await fetchCase(id);
    await runAgain(0);
  } catch (error) {
    runState.value = refused(error);
  }
}

/** Runs the scenario with the edits as they stand; the number of draws is that of the answers unless given. */
export async function runAgain(draws: number = answered.value?.meta.draws ?? 0): Promise<void> {
  const scenario = opened.value?.id;
  if (scenario === undefined) return;
  underWay?.abort();
  const own = new AbortController();
  underWay = own;
  const asked = edits.value;
  runState.value = { is: "running", done: 0, total: 0, draws };
  try {
    const document = await runCase(
      { scenario, draws, ...changesOf(asked) },
      ({ done, total }) => {
        if (underWay === own) runState.value = { is: "running", done, total, draws };
      },
      own.signal,
    );
    if (underWay !== own) return;
    answered.value = document;
    answeredEdits.value = asked;
    runState.value = { is: "at rest" };
  } catch (error) {
    if (underWay === own) runState.value = own.signal.aborted ? { is: "cancelled" } : refused(error);
  } finally {
    if (underWay === own) underWay = null;
  }
}

/** The edits as changes to the scenario: evidence under `inputs`, weights of variants under `alternatives`. */
function changesOf(asked: Edits): Pick<RunRequest, "changes"> {
  const names = Object.keys(asked);
  if (names.length === 0) return {};
  const isWeights = (name: string): boolean =>
    opened.value?.inputs.find((input) => input.name === name)?.declaration === null;
  const part = (wanted: boolean): Edits =>
    Object.fromEntries(names.filter((name) => isWeights(name) === wanted).map((name) => [name, asked[name]!]));
  const inputs = part(false);
  const alternatives = part(true);
  return {
    changes: {
      ...(Object.keys(inputs).length > 0 ? { inputs } : {}),
      ...(Object.keys(alternatives).length > 0 ? { alternatives } : {}),
    },
  };
}

/** Stops the run under way; the answers on the page stay. */
export function cancelRun(): void {
  underWay?.abort();
}

/** How far a run is, in words. */
export function runningText({ done, total, draws }: { done: number; total: number; draws: number }): string {
  return draws === 0 || total <= 1 ? "updating" : `updating, ${countText(done)} of ${countText(total)} draws`;
}
