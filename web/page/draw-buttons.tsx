import { countText } from "../../src/report/format.ts";
import { answered, cancelRun, runAgain, runningText, runState } from "../workbench.ts";

const choices = [1000, 10_000];

/** Asks for draws; while they run, tells how far they are and lets them be stopped. */
export function DrawButtons() {
  const state = runState.value;
  const present = answered.value?.meta.draws ?? 0;
  return (
    <div class="draw-buttons">
      {state.is === "running" ? (
        <>
          <span class="running">{runningText(state)}</span>
          <button type="button" onClick={cancelRun}>
            Cancel
          </button>
        </>
      ) : (
        choices.map((draws) => (
          <button key={draws} type="button" onClick={() => void runAgain(draws)}>
            {present === draws ? `Run ${countText(draws)} draws again` : `Run ${countText(draws)} draws`}
          </button>
        ))
      )}
    </div>
  );
}
