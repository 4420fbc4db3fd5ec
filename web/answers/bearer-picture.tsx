import { useMemo } from "preact/hooks";
import { bearerParts, bearerTable } from "../../src/report/cost-differences.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { Plot } from "../charts/plot.tsx";
import { stackedCosts, stackedCostsText } from "../charts/stacked-costs.ts";
import type { Palette } from "../palette.ts";
import { DataTable } from "./data-table.tsx";
import { PartKey } from "./part-key.tsx";
import { Picture } from "./picture.tsx";
import { stackHeight } from "./stack-height.ts";

/** Who bears the costs, with the table; nothing where there is one bearer. */
export function BearerPicture({ document }: { readonly document: ResultDocument }) {
  const { costs, compared } = document.answers;
  const { strategies } = compared;
  const chart = useMemo(
    () => ({ parts: bearerParts(costs), strategies, axis: `${costs.currency} per person, discounted` }),
    [costs, strategies],
  );
  const draw = useMemo(() => (colours: Palette) => stackedCosts(chart, colours), [chart]);
  if (chart.parts.length < 2) return null;
  return (
    <>
      <Picture title="Who bears it?">
        <PartKey parts={chart.parts} />
        <Plot shape="wide" height={stackHeight(strategies.length)} alternative={stackedCostsText(chart)} draw={draw} />
      </Picture>
      <DataTable title={`By who bears it, discounted, ${costs.currency}`} table={bearerTable(costs, strategies)} />
    </>
  );
}
