import { changedText } from "../edits.ts";
import { runningText } from "../run-state.ts";
import { cancelRun, canRun, drawsWanted, edits, resetAll, runState } from "../workbench.ts";
import { DrawDetails, DrawsSelect } from "./draws-editor.tsx";

/** How much is changed, and the buttons that run it, take it all back, or stop the run. */
export function RunBar() {
  const state = runState.value;
  const isRunning = state.is === "running";
  const changed = Object.keys(edits.value).length;
  return (
    <div class="run-bar">
      <p class="run-count">
        <span>{isRunning ? runningText(state) : changedText(edits.value)}</span>
        {isRunning ? null : <DrawsSelect />}
      </p>
      {isRunning || drawsWanted.value.draws === 0 ? null : <DrawDetails id="run-seed" />}
      <div class="run-buttons">
        {isRunning ? (
          <button type="button" class="primary" onClick={cancelRun}>
            Cancel
          </button>
        ) : (
          <button type="submit" class="primary" disabled={!canRun.value}>
            Run
          </button>
        )}
        <button type="button" disabled={changed === 0} onClick={resetAll}>
          Reset all
        </button>
      </div>
    </div>
  );
}
