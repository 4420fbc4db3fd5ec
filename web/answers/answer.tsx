import type { ComponentChildren } from "preact";
import { basisNote } from "../../src/report/basis-note.ts";
import { type QuestionId, questions, type ResultDocument } from "../../src/report/result.ts";
import { stale, standing } from "../workbench.ts";
import { HowComputed } from "./how-computed.tsx";

/** One answer: the question, the sentence, pictures and tables, and how it was computed. */
export function Answer({
  question,
  headline,
  document,
  old = "",
  children,
}: {
  readonly question: QuestionId;
  readonly headline: string;
  readonly document: ResultDocument;
  /** Why this answer is older than the others; empty where it is not. */
  readonly old?: string;
  readonly children: ComponentChildren;
}) {
  const why = stale.value ? standing.value : old;
  const number = questions.findIndex(({ id }) => id === question) + 1;
  const title = questions[number - 1]?.title;
  const note = basisNote(document, question);
  return (
    <section id={question} class={why === "" ? "answer" : "answer stale"} aria-labelledby={`${question}-title`}>
      <header class="answer-head">
        <h2 id={`${question}-title`}>
          <span class="answer-number">{number}</span>
          {title}
        </h2>
        <p class="answer-standing" aria-hidden="true">
          {why}
        </p>
      </header>
      <div class="answer-body">
        <p class="headline">{headline}</p>
        {note === null ? null : <p class="basis-note">{note}</p>}
        {children}
        <HowComputed question={question} document={document} />
      </div>
      <p class="paper-only caution">{document.meta.cautions.join(" ")}</p>
    </section>
  );
}
