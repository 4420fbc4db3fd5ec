import { pins } from "../pins.ts";
import { opened, refusals, runAgain, runState } from "../workbench.ts";
import { InputEditor } from "./input-editor.tsx";
import { InputSearch } from "./input-search.tsx";
import { RefusalSummary } from "./refusal-summary.tsx";
import { RunBar } from "./run-bar.tsx";

/** The drawer: pinned inputs to edit, a search over all of them, and the button that runs them. */
export function WhatIf({ onRun }: { readonly onRun?: () => void }) {
  const register = opened.value;
  if (register === null) return <p class="muted">No scenario is open.</p>;
  const inputs = new Map(register.inputs.map((input) => [input.name, input]));
  return (
    <form
      class="what-if"
      onSubmit={(event) => {
        event.preventDefault();
        void runAgain().then(() => {
          if (runState.value.is === "at rest") onRun?.();
        });
      }}
    >
      <h2 class="side-title">What if</h2>
      <p class="side-note">Change what you doubt, in the form its evidence has, then run.</p>
      <RefusalSummary findings={refusals.value} inputs={register.inputs} />
      {pins.value.flatMap((name) => {
        const input = inputs.get(name);
        return input === undefined ? [] : [<InputEditor key={name} input={input} strategies={register.strategies} />];
      })}
      <InputSearch inputs={register.inputs} />
      <RunBar />
    </form>
  );
}
