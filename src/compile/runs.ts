import type { Stage } from "./itinerary.ts";
import type { Settled } from "./settle.ts";
import { ascending } from "./transfer.ts";

/** Cycles that one transfer serves: nothing fires after the first, conditions hold, and few states are read in vain. */
export interface Run {
  readonly from: number;
  readonly to: number;
  readonly reads: readonly number[];
}

/** The boundaries cut into runs of cycles, as long as they may be. */
export function runs(stages: readonly Stage[], settledAt: (cycle: number) => Settled): readonly Run[] {
  const found: Run[] = [];
  let from = 0;
  let reads = stages[0]!.open;
  let least = reads.length;
  for (let c = 1; c < stages.length; c++) {
    const { firings, open } = stages[c]!;
    const together = open === stages[c - 1]!.open ? reads : ascending([...reads, ...open]);
    const fewest = Math.min(least, open.length);
    const ends =
      c === stages.length - 1 ||
      firings.length > 0 ||
      settledAt(c) !== settledAt(c - 1) ||
      together.length > fewest + fewest / 4 + 4;
    if (ends) found.push({ from, to: c, reads });
    from = ends ? c : from;
    reads = ends ? open : together;
    least = ends ? open.length : fewest;
  }
  return found;
}
