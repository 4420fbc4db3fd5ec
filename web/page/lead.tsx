import type { ResultDocument } from "../../src/report/result.ts";
import { StrategyKey } from "../answers/strategy-key.tsx";
import { computedHere } from "../carry-out.ts";
import { drawsStale, stale, standing, waived } from "../workbench.ts";
import { DrawButtons } from "./draw-buttons.tsx";

/** The main answer with its uncertainty and the cautions, within the first screen. */
export function Lead({ document }: { readonly document: ResultDocument }) {
  const { meta, answers } = document;
  const { worth, sure, compared } = answers;
  return (
    <div class={stale.value ? "lead stale" : "lead"}>
      <div class="answer-head">
        <h1>{meta.scenario}</h1>
        <p class="answer-standing" aria-hidden="true">
          {stale.value ? standing.value : ""}
        </p>
      </div>
      <div class="answer-body">
        <p class="main-answer">{worth.headline}</p>
        {sure === undefined ? (
          <p class="how-sure">
            {drawsStale.value
              ? "These are base values. The draws are from before the change: run them again to say how sure that is."
              : "How sure that is has not been asked yet: these are base values, without draws."}
          </p>
        ) : (
          <p class="how-sure">{sure.headline}</p>
        )}
        {sure === undefined ? <DrawButtons /> : null}
      </div>
      <div class="caution" role="note" aria-label="Cautions">
        {meta.cautions.map((text) => (
          <p key={text}>{text}</p>
        ))}
        {computedHere.value === "" ? null : <p>{computedHere.value}</p>}
        {waived.value.length === 0 ? null : <p>Run without the scenario's own checks: {waived.value.join(", ")}.</p>}
      </div>
      <StrategyKey strategies={compared.strategies} />
    </div>
  );
}
