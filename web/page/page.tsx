import { WhatIf } from "../what-if/what-if.tsx";
import { wide } from "../wide.ts";
import { answered, cases, opened, runState } from "../workbench.ts";
import { Answers } from "./answers.tsx";
import { BottomBar } from "./bottom-bar.tsx";
import { PageFoot } from "./page-foot.tsx";
import { PageHead } from "./page-head.tsx";
import { QuestionIndex } from "./question-index.tsx";
import { RunVoice } from "./run-voice.tsx";

/** The workbench: index of questions, answers, and the drawer of inputs. */
export function Page() {
  const document = answered.value;
  return (
    <>
      <a class="skip" href="#answers">
        Skip to the answers
      </a>
      <PageHead />
      <div class="columns">
        {wide.value ? (
          <nav class="index" aria-label="The questions">
            <QuestionIndex document={document} />
          </nav>
        ) : null}
        <main id="answers" tabIndex={-1}>
          {document === null ? <Waiting /> : <Answers document={document} />}
        </main>
        {wide.value ? (
          <aside class="drawer" aria-label="What if">
            <WhatIf />
          </aside>
        ) : null}
      </div>
      <PageFoot document={document} />
      {wide.value ? null : <BottomBar document={document} />}
      <RunVoice />
    </>
  );
}

/** What stands in the place of answers that are not there. */
function Waiting() {
  const state = runState.value;
  if (state.is === "refused")
    return (
      <div class="waiting">
        <p class="headline">{state.message}.</p>
        <ul class="refusals">
          {state.findings.map(({ file, line, column, message, hint }) => (
            <li key={`${file}:${line}:${column}:${message}`}>
              {file}:{line}:{column}: {message}; {hint}
            </li>
          ))}
        </ul>
      </div>
    );
  const nothing = cases.value.length === 0 && opened.value === null;
  return <p class="waiting muted">{nothing ? "Looking for scenarios" : "Computing the base case"}</p>;
}
