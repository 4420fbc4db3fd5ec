import type { Settings } from "../schema/scenario.ts";
import type { AppliedJurisdiction } from "../schema/with-jurisdiction.ts";
import { listText, significantText } from "./format.ts";

/** Parts of a jurisdiction in words. */
export function partsText(parts: AppliedJurisdiction["fills"]): string {
  return listText(parts.map((part) => (part === "discount" ? "discount rates" : part)));
}

/** What a scenario takes from a stored jurisdiction; null where it names none or states everything itself. */
export function jurisdictionText(applied: AppliedJurisdiction | null): string | null {
  if (applied === null || applied.fills.length === 0) return null;
  const { label, year, fills, from_memory: remembered } = applied;
  const unsure = fills.filter((part) => remembered.includes(part));
  const doubt =
    unsure.length === 0 ? "" : `; from memory: ${unsure.length === fills.length ? "all" : partsText(unsure)}`;
  return `${partsText(fills)} of ${label}, ${year}${doubt}`;
}

/** The steps by which amounts in other money become the scenario's. */
export function conversionsText(conversions: NonNullable<Settings["money"]>["conversions"]): string | null {
  const steps = Object.entries(conversions ?? {}).map(([from, { to, by, factor, values }]) => {
    const times = factor ?? (values === undefined ? 1 : values[1] / values[0]);
    return `${from} to ${to} by ${by}, times ${significantText(times)}`;
  });
  return steps.length === 0 ? null : steps.join("; ");
}
