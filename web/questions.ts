import { type QuestionId, questions } from "../src/report/result.ts";

/** The questions that the page answers. */
export type AnsweredQuestion = QuestionId | "sure";

const sure = { id: "sure", title: "How sure are we?" } as const;

/** Ids and titles of the questions in the order a payer asks them. */
export const questionTitles: readonly { readonly id: AnsweredQuestion; readonly title: string }[] = questions.some(
  ({ id }) => (id as AnsweredQuestion) === "sure",
)
  ? questions
  : [...questions, sure];
