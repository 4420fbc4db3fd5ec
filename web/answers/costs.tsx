import { useMemo, useState } from "preact/hooks";
import { answerTables } from "../../src/report/answer-tables.ts";
import { bearerTable, costDifferences, countedLines } from "../../src/report/cost-differences.ts";
import { capitalised } from "../../src/report/format.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { calledOf } from "../called.ts";
import { bearerTone, costsByBearer, costsByBearerText } from "../charts/costs-by-bearer.ts";
import { costsByLine, costsByLineText } from "../charts/costs-by-line.ts";
import { Plot } from "../charts/plot.tsx";
import type { Palette } from "../palette.ts";
import { palette } from "../theme.ts";
import { Answer } from "./answer.tsx";
import { Choice } from "./choice.tsx";
import { DataTable } from "./data-table.tsx";
import { Picture } from "./picture.tsx";
import { StrategyKey } from "./strategy-key.tsx";

const barHeight = 16;
const axisHeight = 64;

/** What does it cost? */
export function Costs({ document }: { readonly document: ResultDocument }) {
  const { costs } = document.answers;
  const tables = answerTables(document, "costs");
  return (
    <Answer question="costs" headline={costs.headline} document={document}>
      <LinePicture document={document} />
      {tables.slice(0, 1).map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
      <BearerPicture document={document} />
      {tables.slice(1).map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
    </Answer>
  );
}

function LinePicture({ document }: { readonly document: ResultDocument }) {
  const { costs, compared, worth } = document.answers;
  const { strategies } = compared;
  const reference = worth.pairs[0]?.against;
  const [view, setView] = useState<"amounts" | "differences">("amounts");
  const showDifferences = view === "differences" && reference !== undefined;
  const called = calledOf(reference ?? "");
  const chart = useMemo(() => {
    const unit = `${costs.currency} per person, discounted`;
    return showDifferences
      ? {
          lines: costDifferences(costs, reference).map(({ label, difference }) => ({
            label: capitalised(label),
            amounts: difference,
          })),
          strategies,
          axis: `More than ${called}, ${unit}`,
        }
      : {
          lines: countedLines(costs).map(({ label, discounted }) => ({
            label: capitalised(label),
            amounts: discounted,
          })),
          strategies,
          axis: unit,
        };
  }, [costs, strategies, reference, called, showDifferences]);
  const draw = useMemo(() => (colours: Palette) => costsByLine(chart, colours), [chart]);
  if (costs.lines.every(({ discounted }) => Object.values(discounted).every((amount) => amount === 0))) return null;
  const shown = strategies.filter(({ id }) => chart.lines.every(({ amounts }) => amounts[id] !== undefined));
  return (
    <Picture
      title={showDifferences ? "Where does the difference come from?" : "What is the money spent on?"}
      choices={
        reference === undefined ? null : (
          <Choice
            label="Amounts or differences"
            options={[
              { id: "amounts", label: "Amounts" },
              { id: "differences", label: `Differences from ${called}` },
            ]}
            chosen={view}
            onChoose={setView}
          />
        )
      }
    >
      <StrategyKey strategies={strategies} only={shown.map(({ id }) => id)} />
      <Plot
        shape="wide"
        height={chart.lines.length * (strategies.length + 1) * barHeight * 0.72 + axisHeight}
        alternative={costsByLineText(chart)}
        draw={draw}
      />
    </Picture>
  );
}

function BearerPicture({ document }: { readonly document: ResultDocument }) {
  const { costs, compared } = document.answers;
  const { strategies } = compared;
  const chart = useMemo(() => ({ costs, strategies }), [costs, strategies]);
  const draw = useMemo(() => (colours: Palette) => costsByBearer(chart, colours), [chart]);
  if (costs.byBearer.length < 2) return null;
  return (
    <>
      <Picture title="Who bears it?">
        <ul class="strategy-key">
          {costs.byBearer.map(({ bearer }, place) => (
            <li key={bearer}>
              <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
                <rect width="16" height="16" fill={bearerTone(palette.value, place)} />
              </svg>
              {capitalised(bearer ?? "anybody")}
            </li>
          ))}
        </ul>
        <Plot
          shape="wide"
          height={strategies.length * 44 + axisHeight}
          alternative={costsByBearerText(chart)}
          draw={draw}
        />
      </Picture>
      <DataTable title={`By who bears it, discounted, ${costs.currency}`} table={bearerTable(costs, strategies)} />
    </>
  );
}
