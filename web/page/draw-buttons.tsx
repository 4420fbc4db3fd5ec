import { exactMoneyText } from "../../src/report/format.ts";
import { drawChoices } from "../draw-settings.ts";
import { runningText } from "../run-state.ts";
import { answered, cancelRun, drawsChanged, runAgain, runState } from "../workbench.ts";

/** Asks for draws; while they run, tells how far they are and lets them be stopped. */
export function DrawButtons() {
  const state = runState.value;
  const present = drawsChanged.value ? 0 : (answered.value?.meta.draws ?? 0);
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
        drawChoices.slice(0, 2).map((draws) => (
          <button key={draws} type="button" onClick={() => void runAgain(draws)}>
            {present === draws ? `Run ${exactMoneyText(draws)} draws again` : `Run ${exactMoneyText(draws)} draws`}
          </button>
        ))
      )}
    </div>
  );
}
