import type { Finding } from "../src/errors.ts";
import { countText } from "../src/report/format.ts";
import { Problem } from "./api.ts";
import { type Edits, noEdits } from "./edits.ts";

/** What the page is doing about its answers. */
export type RunState =
  | { readonly is: "at rest" }
  | { readonly is: "running"; readonly done: number; readonly total: number; readonly draws: number }
  | { readonly is: "cancelled" }
  | {
      readonly is: "refused";
      readonly message: string;
      readonly findings: readonly Finding[];
      /** What was to be run. */
      readonly asked: Edits;
    };

/** What is left of a run that ended with an error. */
export function refused(error: unknown, asked: Edits = noEdits): RunState {
  if (error instanceof Problem) return { is: "refused", message: error.message, findings: error.findings, asked };
  return { is: "refused", message: error instanceof Error ? error.message : String(error), findings: [], asked };
}

/** How far a run is, in words. */
export function runningText({ done, total, draws }: { done: number; total: number; draws: number }): string {
  return draws === 0 || total <= 1 ? "updating" : `updating, ${countText(done)} of ${countText(total)} draws`;
}
