import { yearsText } from "./format.ts";
import type { ResultDocument } from "./result.ts";

/** What the evidence saw of the time shown, in a sentence; null where the scenario does not say, or it saw all of it. */
export function followUpNote({ answers }: ResultDocument): string | null {
  const { followUpYears, horizonYears } = answers.compared;
  if (followUpYears === null || followUpYears >= horizonYears) return null;
  return `The shaded time, ${yearsText(followUpYears)}, is how long the evidence followed people; beyond it the curves are extrapolated.`;
}
