import type { CostLine, CostsAnswer } from "./costs.ts";
import { capitalised, exactMoneyText } from "./format.ts";
import type { TextTable } from "./table-text.ts";
import type { NamedStrategy } from "./time-tables.ts";

/** The lines that the perspective counts, the dearest first. */
export function countedLines(costs: CostsAnswer): readonly CostLine[] {
  const size = (line: CostLine): number => Math.max(...Object.values(line.discounted).map(Math.abs));
  return costs.lines.filter(({ counted }) => counted).sort((a, b) => size(b) - size(a));
}

/** A part of a total, with its amount by strategy. */
export interface CostPart {
  readonly label: string;
  readonly amounts: Readonly<Record<string, number>>;
}

/** Counted lines as parts of the total, the dearest first; those beyond `most` are together the last part. */
export function costParts(costs: CostsAnswer, most: number): readonly CostPart[] {
  const lines = countedLines(costs).filter(({ discounted }) =>
    Object.values(discounted).some((amount) => amount !== 0),
  );
  const own = lines.length <= most ? lines : lines.slice(0, most - 1);
  const rest = lines.slice(own.length);
  const parts = own.map(({ label, discounted }) => ({ label: capitalised(label), amounts: discounted }));
  if (rest.length === 0) return parts;
  const sum = (id: string): number => rest.reduce((total, { discounted }) => total + discounted[id]!, 0);
  const amounts = Object.fromEntries(Object.keys(costs.total).map((id) => [id, sum(id)]));
  return [...parts, { label: `${rest.length} smaller lines`, amounts }];
}

/** Who bears the costs, as parts of all of them, whatever the perspective counts. */
export function bearerParts(costs: CostsAnswer): readonly CostPart[] {
  return costs.byBearer.map(({ bearer, discounted }) => ({
    label: capitalised(bearer ?? "anybody"),
    amounts: discounted,
  }));
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
