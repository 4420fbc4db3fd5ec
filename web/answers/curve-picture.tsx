import { useMemo, useState } from "preact/hooks";
import { followUpNote } from "../../src/report/follow-up.ts";
import { yearsText } from "../../src/report/format.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { curveTable } from "../../src/report/time-tables.ts";
import { curveOverTime, curveOverTimeText } from "../charts/curve-over-time.ts";
import { Plot } from "../charts/plot.tsx";
import type { Palette } from "../palette.ts";
import { Choice } from "./choice.tsx";
import { DataTable } from "./data-table.tsx";
import { Picture } from "./picture.tsx";
import { StrategyKey } from "./strategy-key.tsx";

const firstYears = 5;

/** Curves over time, one at a time, over the first years or up to the horizon, with their table. */
export function CurvePicture({ document }: { readonly document: ResultDocument }) {
  const { curves } = document.answers.works;
  const { strategies, followUpYears } = document.answers.compared;
  const note = followUpNote(document);
  const [id, setId] = useState(curves[0]?.id ?? "");
  const series = curves.find((one) => one.id === id) ?? curves[0];
  const horizon = series?.years.at(-1) ?? 0;
  const [window, setWindow] = useState<"first" | "all">("first");
  const untilYears = window === "first" && horizon > firstYears ? firstYears : horizon;
  const chart = useMemo(
    () => (series === undefined ? null : { series, strategies, untilYears, followUpYears }),
    [series, strategies, untilYears, followUpYears],
  );
  const draw = useMemo(() => (colours: Palette) => curveOverTime(chart!, colours), [chart]);
  if (chart === null || series === undefined) return null;
  return (
    <>
      <Picture
        title={`How does ${series.label.charAt(0).toLowerCase()}${series.label.slice(1)} change over time?`}
        choices={
          <div class="choices">
            {curves.length > 1 ? (
              <Choice
                label="Curve"
                options={curves.map((one) => ({ id: one.id, label: one.label }))}
                chosen={series.id}
                onChoose={setId}
              />
            ) : null}
            {horizon > firstYears ? (
              <Choice
                label="Time shown"
                options={[
                  { id: "first", label: `First ${yearsText(firstYears)}` },
                  { id: "all", label: `All ${yearsText(horizon)}` },
                ]}
                chosen={window}
                onChoose={setWindow}
              />
            ) : null}
          </div>
        }
      >
        <StrategyKey strategies={strategies} where="narrow" />
        <Plot shape="wide" alternative={curveOverTimeText(chart)} draw={draw} />
        {note === null ? null : <p class="picture-note">{note}</p>}
      </Picture>
      <DataTable
        title={`${series.label}${series.unit === "" ? "" : `, ${series.unit}`}, mean of those alive`}
        table={curveTable(series, strategies)}
      />
    </>
  );
}
