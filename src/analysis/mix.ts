import type { Program } from "../compile/program.ts";
import type { Traced } from "../engine/traced.ts";

/**
 * The share-weighted mix of the groups' results, summed in file order. Curves are means of the living, so they weigh by
 * the groups' survivors; where nobody lives they are NaN.
 */
export function mixGroups(program: Program, traced: readonly Traced[]): Traced {
  const [first] = traced;
  if (first === undefined) throw new Error("no groups to mix");
  const { groups, curves, grid } = program;
  const sum = (pick: (one: Traced) => Float64Array): Float64Array => {
    const total = new Float64Array(pick(first).length);
    for (const [g, one] of traced.entries()) add(total, groups[g]!.share, pick(one));
    return total;
  };
  const boundaries = grid.cycles + 1;
  const width = first.membership.length / boundaries;
  const mixed = new Float64Array(first.curves.length);
  for (let b = 0; b < boundaries && mixed.length > 0; b++) {
    const weights = traced.map((one, g) => groups[g]!.share * alive(one, b, width));
    const living = weights.reduce((total, weight) => total + weight, 0);
    for (const k of curves.keys()) {
      let value = 0;
      for (const [g, one] of traced.entries()) {
        const weight = weights[g]!;
        if (weight > 0) value += weight * one.curves[k * boundaries + b]!;
      }
      mixed[k * boundaries + b] = value / living;
    }
  }
  return {
    raw: sum((one) => one.raw),
    discounted: sum((one) => one.discounted),
    absolute: sum((one) => one.absolute),
    events: sum((one) => one.events),
    resources: sum((one) => one.resources),
    membership: sum((one) => one.membership),
    lifeYears: sum((one) => one.lifeYears),
    curves: mixed,
  };
}

function add(total: Float64Array, share: number, values: Float64Array): void {
  for (let i = 0; i < total.length; i++) total[i]! += share * values[i]!;
}

function alive(traced: Traced, boundary: number, width: number): number {
  let sum = 0;
  for (let i = 0; i < width - 1; i++) sum += traced.membership[boundary * width + i]!;
  return sum;
}
