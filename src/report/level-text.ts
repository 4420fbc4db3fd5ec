import { countText, exactMoneyText, shareText } from "./format.ts";

/**
 * A value of a curve in its unit: shares in whole percent, anything else to about three significant digits.
 * @example levelText(31.675, "kg/m2") // "31.7"
 */
export function levelText(value: number, unit: string): string {
  if (unit === "" || unit === "share") return shareText(value);
  const size = Math.abs(value);
  if (!Number.isFinite(value) || size >= 100) return countText(value);
  return value.toFixed(size >= 10 ? 1 : size >= 1 ? 2 : 3).replace("-", "−");
}

/** A value with its unit behind it; shares carry their percent sign alone. */
export function levelWithUnit(value: number, unit: string): string {
  return unit === "" || unit === "share" ? shareText(value) : `${levelText(value, unit)} ${unit}`;
}

/** A whole number of years or people in groups of three; nothing for what lies between, as on an axis. */
export function wholeText(value: number): string {
  return Number.isInteger(value) ? exactMoneyText(value) : "";
}
