import type { Jurisdiction } from "../schema/jurisdiction.ts";
import type { DiscountRate } from "../schema/scenario.ts";
import type { TextTable } from "./table-text.ts";

/** Stored jurisdictions as a table; the last column says what was written down from memory. */
export function jurisdictionsTable(all: Readonly<Record<string, Jurisdiction>>): TextTable {
  return {
    header: [
      "Jurisdiction",
      "Label",
      "Year",
      "Costs a year",
      "Effects a year",
      "Thresholds",
      "Sureness",
      "From memory",
    ],
    rows: Object.entries(all).map(([id, one]) => [
      id,
      one.label,
      String(one.year),
      rateText(one.discount?.costs),
      rateText(one.discount?.effects),
      thresholdsText(one.thresholds ?? []),
      one.confidence,
      one.from_memory.join(", ") || "no",
    ]),
  };
}

function rateText(rate: DiscountRate | undefined): string {
  if (rate === undefined) return "none stated";
  const short = (given: string | number): string => String(given).replace(/\s*\/\s*year$/, "");
  if (!Array.isArray(rate)) return short(rate);
  return rate
    .map((step) => (step.after === undefined ? short(step.rate) : `from ${step.after} ${short(step.rate)}`))
    .join(", ");
}

/** `20000, 30000 GBP/QALY`: a unit that all share is written once. */
function thresholdsText(thresholds: readonly (string | number)[]): string {
  const parts = thresholds.map((one) => /^(\S+)\s*(.*)$/.exec(String(one))!);
  const [unit, ...others] = new Set(parts.map(([, , behind]) => behind));
  if (unit === undefined) return "none stated";
  if (others.length > 0) return thresholds.join(", ");
  return `${parts.map(([, number]) => number).join(", ")} ${unit}`.trim();
}
