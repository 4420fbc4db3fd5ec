import { changedText, noEdits } from "../edits.ts";
import { cancelRun, edits, runningText, runState, stale } from "../workbench.ts";

/** How much is changed, and the buttons that run it, take it all back, or stop the run. */
export function RunBar() {
  const state = runState.value;
  const isRunning = state.is === "running";
  const changed = Object.keys(edits.value).length;
  return (
    <div class="run-bar">
      <p class="run-count">{isRunning ? runningText(state) : changedText(edits.value)}</p>
      <div class="run-buttons">
        {isRunning ? (
          <button type="button" class="primary" onClick={cancelRun}>
            Cancel
          </button>
        ) : (
          <button type="submit" class="primary" disabled={!stale.value}>
            Run
          </button>
        )}
        <button
          type="button"
          disabled={changed === 0}
          onClick={() => {
            edits.value = noEdits;
          }}
        >
          Reset all
        </button>
      </div>
    </div>
  );
}
