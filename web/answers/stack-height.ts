const barHeight = 44;
const axisHeight = 64;

/** Height in pixels of a chart with one stacked bar for each strategy. */
export function stackHeight(strategies: number): number {
  return strategies * barHeight + axisHeight;
}
