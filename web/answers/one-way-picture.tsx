import { useMemo, useState } from "preact/hooks";
import { moneyText } from "../../src/report/format.ts";
import { oneWayBars, oneWayHeadline, oneWayTable } from "../../src/report/one-way-bars.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { calledOf } from "../called.ts";
import { oneWayBarHeight, oneWayChart, oneWayChartText } from "../charts/one-way.ts";
import { Plot } from "../charts/plot.tsx";
import { sameEdits } from "../edits.ts";
import { localState } from "../local/local.ts";
import { type Palette, strategyStroke } from "../palette.ts";
import { middleThreshold } from "../thresholds.ts";
import { wide } from "../wide.ts";
import { edits, oneWay } from "../workbench.ts";
import { Choice } from "./choice.tsx";
import { DataTable } from "./data-table.tsx";
import { Fold } from "./fold.tsx";
import { Picture } from "./picture.tsx";

const mostBars = 12;
const axisHeight = 76;

/** What moves the answer: each uncertain input by itself, as the page's own worker finds it. */
export function OneWayPicture({ document }: { readonly document: ResultDocument }) {
  const { worth, compared, costs } = document.answers;
  const middle = middleThreshold(worth.thresholds);
  const best = middle === null ? undefined : worth.best[String(middle)];
  const usual = worth.pairs.find(({ id }) => id === best) ?? worth.pairs[0];
  const [pathway, setPathway] = useState<string | null>(null);
  const [threshold, setThreshold] = useState<string | null>(null);
  const found = oneWay.value;
  const answer = found?.answer;
  const shown = worth.pairs.find(({ id }) => id === pathway) ?? usual;
  const at = worth.thresholds.find((one) => String(one) === threshold) ?? middle;
  const all = useMemo(
    () => (typeof answer !== "object" || shown === undefined || at === null ? null : oneWayBars(answer, shown.id, at)),
    [answer, shown?.id, at],
  );
  const isNarrow = !wide.value;
  const order = compared.strategies.findIndex(({ id }) => id === shown?.id);
  const chart = useMemo(
    () =>
      all === null
        ? null
        : {
            shown: { base: all.base, bars: all.bars.slice(0, mostBars) },
            label: compared.strategies[order]?.label ?? "",
            colour: (palette: Palette) => strategyStroke(palette, order).colour,
            axis: `Net benefit, ${costs.currency} per person`,
            isNarrow,
          },
    [all, order, compared, costs.currency, isNarrow],
  );
  const draw = useMemo(() => (colours: Palette) => oneWayChart(chart!, colours), [chart]);
  if (shown === undefined || at === null || localState.value === "failed") return null;
  const isOld = found === null || !sameEdits(found.edits, edits.value);
  const height = Math.min(mostBars, all?.bars.length ?? mostBars) * oneWayBarHeight(isNarrow) + axisHeight;
  const caption = `Net benefit over ${calledOf(shown.against)} at ${moneyText(at)}, ${costs.currency} per person`;
  return (
    <div class={isOld ? "one-way old" : "one-way"}>
      <Picture
        title="What moves the answer?"
        choices={
          <div class="choices">
            {worth.pairs.length < 2 ? null : (
              <Choice
                label="Pathway"
                options={worth.pairs.map(({ id }) => ({
                  id,
                  label: compared.strategies.find((one) => one.id === id)?.label ?? id,
                }))}
                chosen={shown.id}
                onChoose={setPathway}
              />
            )}
            {worth.thresholds.length < 2 ? null : (
              <Choice
                label="Threshold"
                options={worth.thresholds.map((one) => ({ id: String(one), label: `at ${moneyText(one)}` }))}
                chosen={String(at)}
                onChoose={setThreshold}
              />
            )}
          </div>
        }
      >
        {chart === null || all === null ? (
          <div class="plot muted" style={{ height: `${height}px` }}>
            {typeof answer === "string"
              ? `Not computed: ${answer}`
              : "Computing in this browser what each input does by itself"}
          </div>
        ) : (
          <>
            <p class="picture-note">{oneWayHeadline(all, costs.currency, calledOf(shown.id))}</p>
            <Plot shape="wide" height={height} alternative={oneWayChartText(chart)} draw={draw} />
            <p class="picture-note">
              Each bar is one input at the ends of its 95% interval, all others at their base values.
            </p>
          </>
        )}
      </Picture>
      {all === null || chart === null ? null : (
        <>
          <DataTable title={caption} table={oneWayTable(chart.shown)} />
          {all.bars.length <= mostBars ? null : (
            <Fold title={`All ${all.bars.length} uncertain inputs`}>
              <DataTable title={`${caption}, all inputs`} table={oneWayTable(all)} />
            </Fold>
          )}
        </>
      )}
    </div>
  );
}
