import type { Kind } from "../schema/model.ts";

/** True where a value of a kind lies in its range, in base units. */
export function inRange(kind: Kind, value: number): boolean {
  if (!Number.isFinite(value)) return false;
  switch (kind) {
    case "probability":
    case "share":
      return value >= 0 && value <= 1;
    case "hazard_ratio":
    case "relative_risk":
    case "odds_ratio":
      return value > 0;
    case "rate":
    case "ratio":
    case "cost":
    case "duration":
    case "count":
      return value >= 0;
    case "utility":
      return value <= 1;
    default:
      return true;
  }
}

/** The range of a kind in words. */
export function rangeText(kind: Kind): string {
  switch (kind) {
    case "probability":
    case "share":
      return "0 to 1";
    case "hazard_ratio":
    case "relative_risk":
    case "odds_ratio":
      return "above 0";
    case "utility":
      return "at most 1";
    default:
      return "0 or more";
  }
}
