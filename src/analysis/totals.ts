import type { Program } from "../compile/program.ts";
import type { Traced } from "../engine/traced.ts";
import { CompensatedSum, compensatedSum } from "../numerics/sum.ts";

/** Which entries of an account a perspective holds: those of its bearers and those without a bearer. */
export function entriesOf(program: Program, account: number, perspective: string): readonly number[] {
  const found = program.analysis.perspectives.find(({ name }) => name === perspective);
  if (found === undefined) throw new Error(`no perspective ${perspective}`);
  const { bearers } = found;
  return program.entries.flatMap((entry, index) => {
    const holds = entry.bearer === null || bearers === null || bearers.includes(entry.bearer);
    return entry.account === account && holds ? [index] : [];
  });
}

/** Sum of an entry over its first `cycles` cycles (all unless given), discounted unless `amounts` says `raw`. */
export function entryTotal(
  program: Program,
  traced: Traced,
  entry: number,
  amounts: "discounted" | "raw" = "discounted",
  cycles: number = program.grid.cycles,
): number {
  const from = entry * program.grid.cycles;
  return compensatedSum(traced[amounts].subarray(from, from + Math.min(cycles, program.grid.cycles)));
}

/** Total of an account in a perspective per starter: the sum of its entries. */
export function accountTotal(
  program: Program,
  traced: Traced,
  account: number,
  perspective: string = program.analysis.perspective,
  amounts: "discounted" | "raw" = "discounted",
  cycles: number = program.grid.cycles,
): number {
  return compensatedSum(
    entriesOf(program, account, perspective).map((entry) => entryTotal(program, traced, entry, amounts, cycles)),
  );
}

/**
 * Undiscounted amounts of the given entries in each bin of `cyclesPerBin` cycles (a year, a month). A cycle that spans
 * several bins spreads evenly over them.
 */
export function binned(
  program: Program,
  traced: Traced,
  entries: readonly number[],
  cyclesPerBin: number,
): readonly number[] {
  const { cycles } = program.grid;
  const bins = Math.ceil(cycles / cyclesPerBin - 1e-9);
  const sums = Array.from({ length: bins }, () => new CompensatedSum());
  for (const entry of entries) {
    for (let c = 0; c < cycles; c++) {
      const amount = traced.raw[entry * cycles + c]!;
      if (amount === 0) continue;
      const first = Math.floor(c / cyclesPerBin + 1e-9);
      const last = Math.min(bins - 1, Math.ceil((c + 1) / cyclesPerBin - 1e-9) - 1);
      for (let bin = first; bin <= last; bin++) {
        const from = Math.max(c, bin * cyclesPerBin);
        const until = Math.min(c + 1, (bin + 1) * cyclesPerBin);
        sums[bin]!.add(amount * (until - from));
      }
    }
  }
  return sums.map((sum) => sum.total());
}

/** Years lived per starter, undiscounted, in the first `cycles` cycles. */
export function lifeYears(program: Program, traced: Traced, cycles: number = program.grid.cycles): number {
  return compensatedSum(traced.lifeYears.subarray(0, Math.min(cycles, program.grid.cycles)));
}

/** Times an event or branch happened per starter. */
export function eventCount(program: Program, traced: Traced, path: number): number {
  const { cycles } = program.grid;
  return compensatedSum(traced.events.subarray(path * cycles, (path + 1) * cycles));
}

/** Use of a resource per starter, in the resource's own unit. */
export function resourceUse(program: Program, traced: Traced, resource: number): number {
  const { cycles } = program.grid;
  return (
    compensatedSum(traced.resources.subarray(resource * cycles, (resource + 1) * cycles)) /
    program.resources[resource]!.unitSize
  );
}

/** The years at which results are shown: 1, 3, 5, 10, 20 within the horizon, and the horizon. */
export function reportYears(program: Program): readonly number[] {
  const { horizonYears } = program.analysis;
  return [...[1, 3, 5, 10, 20].filter((years) => years < horizonYears - 1e-9), horizonYears];
}
