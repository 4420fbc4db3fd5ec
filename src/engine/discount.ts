import type { DiscountStep, Program } from "../compile/program.ts";
import { pow } from "../numerics/pow.ts";

/**
 * Discount factor at `years`: the product over the steps of `(1 + r)^-(time spent in the step)`.
 * Source: Drummond et al., Methods for the Economic Evaluation of Health Care Programmes, 2015 (from memory).
 */
export function discountFactor(steps: readonly DiscountStep[], years: number): number {
  let factor = 1;
  for (const [i, step] of steps.entries()) {
    const until = steps[i + 1]?.afterYears ?? Number.POSITIVE_INFINITY;
    const spent = Math.min(years, until) - step.afterYears;
    if (spent > 0 && step.rate !== 0) factor *= pow(1 + step.rate, -spent);
  }
  return factor;
}

/** Discount factors of each cycle at its opening, where its events count, at its middle and at its close. */
export interface DiscountTable {
  readonly start: Float64Array;
  readonly events: Float64Array;
  readonly middle: Float64Array;
  readonly end: Float64Array;
}

/** How far into a cycle each point of a table lies; events lie where the scenario has them. */
const offsets = { start: 0, middle: 0.5, end: 1 } as const;

/**
 * The factors of one kind at one point of all cycles and of the last boundary, length cycles + 1.
 * With whole years the time is cut to full years; a point at the end of a cycle belongs to the cycle just ended.
 */
export function discountFactors(
  program: Program,
  kind: "costs" | "effects" | "none",
  point: keyof DiscountTable,
): Float64Array {
  const { cycles, cyclesPerYear } = program.grid;
  const { discount, eventsAt } = program.analysis;
  const offset = point === "events" ? eventsAt : offsets[point];
  return Float64Array.from({ length: cycles + 1 }, (_, c) => {
    if (kind === "none") return 1;
    const years = (c + offset) / cyclesPerYear;
    const counted = discount.wholeYears ? Math.floor((offset === 1 ? c : c + offset) / cyclesPerYear) : years;
    return discountFactor(discount[kind], counted);
  });
}

/** The factors of one kind at all points. */
export function discountTable(program: Program, kind: "costs" | "effects" | "none"): DiscountTable {
  const at = (point: keyof DiscountTable): Float64Array => discountFactors(program, kind, point);
  return { start: at("start"), events: at("events"), middle: at("middle"), end: at("end") };
}
