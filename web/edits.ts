import type { EvidenceText } from "./evidence-fields.ts";

/** The reader's own evidence, by input. */
export type Edits = Readonly<Record<string, EvidenceText>>;

/** No edits. */
export const noEdits: Edits = {};

/** True where two sets of edits ask for the same run. */
export function sameEdits(one: Edits, other: Edits): boolean {
  const text = (edits: Edits): string => JSON.stringify(Object.entries(edits).sort(([a], [b]) => (a < b ? -1 : 1)));
  return text(one) === text(other);
}

/** The edits with one input's evidence; gone where it is again what the scenario says. */
export function withEdit(edits: Edits, name: string, evidence: EvidenceText, original: EvidenceText): Edits {
  if (JSON.stringify(evidence) === JSON.stringify(original)) return withoutEdit(edits, name);
  return { ...edits, [name]: evidence };
}

/** The edits without those of one input. */
export function withoutEdit(edits: Edits, name: string): Edits {
  return Object.fromEntries(Object.entries(edits).filter(([other]) => other !== name));
}

/** How many inputs are changed, in words. */
export function changedText(edits: Edits): string {
  const count = Object.keys(edits).length;
  if (count === 0) return "Nothing changed";
  return count === 1 ? "1 input changed" : `${count} inputs changed`;
}
