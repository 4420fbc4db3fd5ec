import { useEffect, useState } from "preact/hooks";
import { indexLine } from "../../src/report/index-line.ts";
import { questions, type ResultDocument } from "../../src/report/result.ts";
import { stale } from "../workbench.ts";

/** The questions with their answers in one line: table of contents and summary at once. */
export function QuestionIndex({
  document,
  onFollow,
}: {
  readonly document: ResultDocument | null;
  readonly onFollow?: () => void;
}) {
  const current = useCurrentQuestion(document !== null);
  return (
    <div class="index-body">
      <h2 class="side-title">The questions</h2>
      <ol class={stale.value ? "index-list stale-list" : "index-list"}>
        {questions.map(({ id, title }, i) => (
          <li key={id}>
            <a href={`#${id}`} aria-current={current === id ? "true" : undefined} onClick={onFollow}>
              <span class="index-number">{i + 1}</span>
              <span class="index-title">{title}</span>
              <span class="index-answer">{document === null ? "" : indexLine(document, id)}</span>
            </a>
          </li>
        ))}
      </ol>
    </div>
  );
}

/** The question whose answer fills the middle of the window. */
function useCurrentQuestion(ready: boolean): string {
  const [current, setCurrent] = useState("");
  useEffect(() => {
    if (!ready) return;
    const observer = new IntersectionObserver(
      (entries) => {
        for (const { isIntersecting, target } of entries) if (isIntersecting) setCurrent(target.id);
      },
      { rootMargin: "-40% 0px -55% 0px" },
    );
    for (const section of document.querySelectorAll("section.answer")) observer.observe(section);
    return () => observer.disconnect();
  }, [ready]);
  return current;
}
