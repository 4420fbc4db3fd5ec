import { runState, standing } from "../workbench.ts";

/** Tells readers of the screen when a run starts, ends, or is refused, but not every step of it. */
export function RunVoice() {
  const state = runState.value;
  const text =
    state.is === "running" ? "Updating the answers" : standing.value === "" ? "Answers are up to date" : standing.value;
  return (
    <p class="unseen" role="status">
      {text}
    </p>
  );
}
