import type { QuestionId, ResultDocument } from "./result.ts";

/**
 * Said at an answer that comes from base values although draws were run, so that nobody takes it for their mean; null
 * where there is nothing to tell apart.
 */
export function basisNote({ meta }: ResultDocument, question: QuestionId): string | null {
  if (meta.draws === 0 || question === "worth" || question === "sure") return null;
  return "From base values, each input at its single best value. Means over the draws stand under questions 4 and 5.";
}
