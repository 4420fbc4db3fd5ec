import { useMemo } from "preact/hooks";
import { answerTables } from "../../src/report/answer-tables.ts";
import { effectName } from "../../src/report/effect-account.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { quadrantTable } from "../../src/report/sure-tables.ts";
import { calledOf } from "../called.ts";
import { type Plane, plane, planeText } from "../charts/plane.ts";
import { Plot } from "../charts/plot.tsx";
import type { Palette } from "../palette.ts";
import { middleThreshold } from "../thresholds.ts";
import { Answer } from "./answer.tsx";
import { DataTable } from "./data-table.tsx";
import { OneWayPicture } from "./one-way-picture.tsx";
import { Picture } from "./picture.tsx";
import { StrategyKey } from "./strategy-key.tsx";

/** Is it worth it? */
export function Worth({ document }: { readonly document: ResultDocument }) {
  const { worth, compared, sure } = document.answers;
  return (
    <Answer question="worth" headline={worth.headline} document={document}>
      {worth.pairs.length === 0 ? null : <PlanePicture document={document} />}
      {sure === undefined ? null : (
        <>
          {answerTables(document, "sure")
            .slice(1, 2)
            .map(({ title, ...table }) => (
              <DataTable key={title} title={title} table={table} />
            ))}
          <DataTable
            title={`Share of draws by what they say against ${calledOf(sure.pairs[0]?.against ?? "")}`}
            table={quadrantTable(sure, compared.strategies)}
          />
        </>
      )}
      <OneWayPicture document={document} />
      {answerTables(document, "worth").map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
    </Answer>
  );
}

function PlanePicture({ document }: { readonly document: ResultDocument }) {
  const { worth, compared, costs, sure } = document.answers;
  const chart = useMemo<Plane>(
    () => ({
      pairs: worth.pairs,
      draws: sure?.pairs ?? [],
      strategies: compared.strategies,
      reference: worth.pairs[0]!.against,
      threshold: middleThreshold(worth.thresholds),
      currency: costs.currency,
      effect: effectName(document),
    }),
    [document, worth, sure, compared, costs],
  );
  const draw = useMemo(() => (colours: Palette) => plane(chart, colours), [chart]);
  return (
    <Picture title={`How much more does it cost, and yield, than ${calledOf(chart.reference)}?`}>
      <StrategyKey strategies={compared.strategies} only={worth.pairs.map(({ id }) => id)} where="narrow" />
      <Plot shape="square" alternative={planeText(chart)} draw={draw} />
      <p class="picture-note">
        {sure === undefined
          ? "Each marker is a pathway from base values; no draws were run, so their uncertainty is not shown."
          : "Each dot is a draw, each ellipse holds 95% of them, each marker is their mean. Right of and below the dotted line a pathway is worth its cost."}
      </p>
    </Picture>
  );
}
