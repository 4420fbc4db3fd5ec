import { exactMoneyText } from "../../src/report/format.ts";
import { drawChoices } from "../draw-choices.ts";
import { changedText } from "../edits.ts";
import {
  answered,
  cancelRun,
  chooseDraws,
  drawsWanted,
  edits,
  resetAll,
  runningText,
  runState,
  stale,
} from "../workbench.ts";

/** How much is changed, and the buttons that run it, take it all back, or stop the run. */
export function RunBar() {
  const state = runState.value;
  const isRunning = state.is === "running";
  const changed = Object.keys(edits.value).length;
  return (
    <div class="run-bar">
      <p class="run-count">
        <span>{isRunning ? runningText(state) : changedText(edits.value)}</span>
        {isRunning ? null : (
          <label class="run-draws">
            <span class="unseen">Draws of the next run</span>
            <select
              value={String(drawsWanted.value)}
              onChange={(event) => chooseDraws(Number(event.currentTarget.value))}
            >
              {[...new Set([0, ...drawChoices, drawsWanted.value])].map((draws) => (
                <option key={draws} value={String(draws)}>
                  {draws === 0 ? "no draws" : `${exactMoneyText(draws)} draws`}
                </option>
              ))}
            </select>
          </label>
        )}
      </p>
      <div class="run-buttons">
        {isRunning ? (
          <button type="button" class="primary" onClick={cancelRun}>
            Cancel
          </button>
        ) : (
          <button
            type="submit"
            class="primary"
            disabled={!stale.value && drawsWanted.value === answered.value?.meta.draws}
          >
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
