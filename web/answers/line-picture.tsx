import { useMemo, useState } from "preact/hooks";
import { costDifferences, costParts, countedLines } from "../../src/report/cost-differences.ts";
import { capitalised } from "../../src/report/format.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { calledOf } from "../called.ts";
import { costsByLine, costsByLineText } from "../charts/costs-by-line.ts";
import { Plot } from "../charts/plot.tsx";
import { mostParts, stackedCosts, stackedCostsText } from "../charts/stacked-costs.ts";
import type { Palette } from "../palette.ts";
import { Choice } from "./choice.tsx";
import { PartKey } from "./part-key.tsx";
import { Picture } from "./picture.tsx";
import { stackHeight } from "./stack-height.ts";
import { StrategyKey } from "./strategy-key.tsx";

type View = "amounts" | "stacked" | "differences";

const titles: Readonly<Record<View, string>> = {
  amounts: "What is the money spent on?",
  stacked: "What makes up the total?",
  differences: "Where does the difference come from?",
};

/** What the money is spent on: line by line, stacked to the total, or as differences from the reference. */
export function LinePicture({ document }: { readonly document: ResultDocument }) {
  const { costs, worth } = document.answers;
  const reference = worth.pairs[0]?.against;
  const [chosen, setChosen] = useState<View>("amounts");
  if (costs.lines.every(({ discounted }) => Object.values(discounted).every((amount) => amount === 0))) return null;
  const view = reference === undefined && chosen === "differences" ? "amounts" : chosen;
  return (
    <Picture
      title={titles[view]}
      choices={
        <Choice
          label="Amounts, stacked or differences"
          options={[
            { id: "amounts", label: "Line by line" },
            { id: "stacked", label: "Stacked" },
            ...(reference === undefined
              ? []
              : [{ id: "differences", label: `Differences from ${calledOf(reference)}` } as const]),
          ]}
          chosen={view}
          onChoose={setChosen}
        />
      }
    >
      {view === "stacked" ? (
        <Stack document={document} />
      ) : (
        <Bars document={document} reference={view === "differences" ? reference : undefined} />
      )}
    </Picture>
  );
}

const lineHeight = 11.5;
const axisHeight = 64;

function Bars({ document, reference }: { readonly document: ResultDocument; readonly reference: string | undefined }) {
  const { costs, compared } = document.answers;
  const { strategies } = compared;
  const chart = useMemo(() => {
    const unit = `${costs.currency} per person, discounted`;
    if (reference === undefined) {
      const lines = countedLines(costs).map(({ label, discounted }) => ({
        label: capitalised(label),
        amounts: discounted,
      }));
      return { lines, strategies, axis: unit };
    }
    const lines = costDifferences(costs, reference).map(({ label, difference }) => ({
      label: capitalised(label),
      amounts: difference,
    }));
    return { lines, strategies, axis: `More than ${calledOf(reference)}, ${unit}` };
  }, [costs, strategies, reference]);
  const draw = useMemo(() => (colours: Palette) => costsByLine(chart, colours), [chart]);
  const shown = strategies.filter(({ id }) => chart.lines.every(({ amounts }) => amounts[id] !== undefined));
  return (
    <>
      <StrategyKey strategies={strategies} only={shown.map(({ id }) => id)} />
      <Plot
        shape="wide"
        height={chart.lines.length * (strategies.length + 1) * lineHeight + axisHeight}
        alternative={costsByLineText(chart)}
        draw={draw}
      />
    </>
  );
}

function Stack({ document }: { readonly document: ResultDocument }) {
  const { costs, compared } = document.answers;
  const { strategies } = compared;
  const chart = useMemo(
    () => ({ parts: costParts(costs, mostParts), strategies, axis: `${costs.currency} per person, discounted` }),
    [costs, strategies],
  );
  const draw = useMemo(() => (colours: Palette) => stackedCosts(chart, colours), [chart]);
  return (
    <>
      <PartKey parts={chart.parts} />
      <Plot shape="wide" height={stackHeight(strategies.length)} alternative={stackedCostsText(chart)} draw={draw} />
    </>
  );
}
