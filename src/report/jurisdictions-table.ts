import type { Jurisdiction } from "../schema/jurisdiction.ts";
import type { DiscountRate } from "../schema/scenario.ts";
import type { TextTable } from "./table-text.ts";

/** Stored jurisdictions as a table; the last column says what was written down from memory. */
export function jurisdictionsTable(all: Readonly<Record<string, Jurisdiction>>): TextTable {
  return {
    header: ["Jurisdiction", "Label", "Year", "Costs", "Effects", "Thresholds", "Sureness", "From memory"],
    rows: Object.entries(all).map(([id, one]) => [
      id,
      one.label,
      String(one.year),
      rateText(one.discount?.costs),
      rateText(one.discount?.effects),
      (one.thresholds ?? []).join(", ") || "none stated",
      one.confidence,
      one.from_memory.join(", ") || "no",
    ]),
  };
}

function rateText(rate: DiscountRate | undefined): string {
  if (rate === undefined) return "none stated";
  if (!Array.isArray(rate)) return String(rate);
  return rate.map((step) => (step.after === undefined ? `${step.rate}` : `from ${step.after} ${step.rate}`)).join(", ");
}
