/** The middle one of the scenario's thresholds, by which headlines judge; null where there are none. */
export function middleThreshold(thresholds: readonly number[]): number | null {
  return thresholds[Math.floor((thresholds.length - 1) / 2)] ?? null;
}
