import type { CostLine, CostsAnswer } from "./costs.ts";
import { exactMoneyText } from "./format.ts";
import type { TextTable } from "./table-text.ts";
import type { NamedStrategy } from "./time-tables.ts";

/** The lines that the perspective counts, the dearest first. */
export function countedLines(costs: CostsAnswer): readonly CostLine[] {
  const size = (line: CostLine): number => Math.max(...Object.values(line.discounted).map(Math.abs));
  return costs.lines.filter(({ counted }) => counted).sort((a, b) => size(b) - size(a));
}

/** One line of costs as its differences from the reference, per starter and discounted. */
export interface CostDifference {
  readonly label: string;
  readonly difference: Readonly<Record<string, number>>;
}

/** Counted lines as differences from the reference, the largest first. */
export function costDifferences(costs: CostsAnswer, reference: string): readonly CostDifference[] {
  const lines = costs.lines
    .filter(({ counted }) => counted)
    .map(({ label, discounted }) => ({
      label,
      difference: Object.fromEntries(
        Object.entries(discounted)
          .filter(([id]) => id !== reference)
          .map(([id, amount]) => [id, amount - discounted[reference]!]),
      ),
    }));
  const size = ({ difference }: CostDifference): number => Math.max(0, ...Object.values(difference).map(Math.abs));
  return lines.sort((a, b) => size(b) - size(a));
}

/** Costs by who bears them as a table, whole amounts, whatever the perspective counts. */
export function bearerTable(costs: CostsAnswer, strategies: readonly NamedStrategy[]): TextTable {
  return {
    header: ["Borne by", ...strategies.map(({ label }) => label)],
    rows: costs.byBearer.map(({ bearer, discounted }) => [
      bearer ?? "anybody",
      ...strategies.map(({ id }) => exactMoneyText(discounted[id]!)),
    ]),
  };
}
