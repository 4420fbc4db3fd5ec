import { useMemo } from "preact/hooks";
import { answerTables } from "../../src/report/answer-tables.ts";
import { effectName } from "../../src/report/effect-account.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import type { SureAnswer } from "../../src/report/sure-answer.ts";
import { sufficiencyTable } from "../../src/report/sure-tables.ts";
import { acceptabilityCurves, acceptabilityText } from "../charts/acceptability.ts";
import { Plot } from "../charts/plot.tsx";
import { worthOfCertainty, worthOfCertaintyOf, worthOfCertaintyText } from "../charts/worth-of-certainty.ts";
import { DrawButtons } from "../page/draw-buttons.tsx";
import type { Palette } from "../palette.ts";
import { DrawFields } from "../what-if/draws-editor.tsx";
import { drawn, runState } from "../workbench.ts";
import { Answer } from "./answer.tsx";
import { DataTable } from "./data-table.tsx";
import { Picture } from "./picture.tsx";
import { StrategyKey } from "./strategy-key.tsx";

/** How sure are we? Where the last draws are older than the last edit, what they said is faded. */
export function Sure({ document }: { readonly document: ResultDocument }) {
  const shown = document.answers.sure === undefined ? (drawn.value?.document ?? document) : document;
  const { sure } = shown.answers;
  if (sure === undefined)
    return (
      <Answer
        question="sure"
        headline="Not known yet: the answers above come from base values alone. Draws of all uncertain inputs show how far they can be trusted."
        document={document}
      >
        <AskDraws />
      </Answer>
    );
  return (
    <Answer
      question="sure"
      headline={sure.headline}
      document={shown}
      old={shown === document ? "" : "Draws from before the change"}
    >
      <SurePictures document={shown} sure={sure} />
      <AskDraws />
    </Answer>
  );
}

/** Buttons that run draws, with the seed and layout they will have. */
function AskDraws() {
  return (
    <div class="ask-draws">
      {runState.value.is === "running" ? null : <DrawFields id="sure-seed" />}
      <DrawButtons />
    </div>
  );
}

function SurePictures({ document, sure }: { readonly document: ResultDocument; readonly sure: SureAnswer }) {
  const { compared, worth, costs } = document.answers;
  const { strategies } = compared;
  const asked = worth.thresholds;
  const perUnit = `${costs.currency} for each ${effectName(document).each}`;
  const [means, , byThreshold] = answerTables(document, "sure");
  const curves = useMemo(
    () => ({ acceptability: sure.acceptability, strategies, asked, perUnit }),
    [sure, strategies, asked, perUnit],
  );
  const certainty = useMemo(
    () => worthOfCertaintyOf(sure, asked, costs.currency, perUnit),
    [sure, asked, costs.currency, perUnit],
  );
  const drawCurves = useMemo(() => (colours: Palette) => acceptabilityCurves(curves, colours), [curves]);
  const drawCertainty = useMemo(() => (colours: Palette) => worthOfCertainty(certainty, colours), [certainty]);
  const hasChoice = strategies.length > 1 && sure.acceptability.thresholds.length > 1;
  const hasDoubt = hasChoice && sure.evpi.some((worthOfAll) => worthOfAll > 0);
  return (
    <>
      {hasChoice ? (
        <>
          <Picture title="At which threshold is which pathway the best?">
            <StrategyKey strategies={strategies} where="narrow" />
            <Plot shape="wide" alternative={acceptabilityText(curves)} draw={drawCurves} />
            <p class="picture-note">
              The broad pale band is the frontier: the share of draws in which the pathway to choose is the right one.
            </p>
          </Picture>
          <Named table={byThreshold} />
        </>
      ) : null}
      {hasDoubt ? (
        <Picture title="What would it be worth to be certain?">
          <Plot shape="wide" alternative={worthOfCertaintyText(certainty)} draw={drawCertainty} />
        </Picture>
      ) : null}
      <Named table={means} />
      <DataTable title="Are the draws enough?" table={sufficiencyTable(sure, strategies)} />
    </>
  );
}

function Named({ table }: { readonly table: ReturnType<typeof answerTables>[number] | undefined }) {
  return table === undefined ? null : <DataTable title={table.title} table={table} />;
}
