import { hull, type Range, rangeOf } from "../compile/kernel/ranges.ts";
import type { Plan } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { followKernel, kernelPays } from "./kernel.ts";
import type { Lanes } from "./lanes.ts";
import { Runner } from "./runner.ts";
import type { Speed } from "./speed.ts";
import type { View } from "./view.ts";

/** What rows were like for which runners were made. */
interface Fit {
  /** Values of the components that are the same in all rows. */
  readonly row: Float64Array;
  readonly varies: readonly boolean[];
  /** Bounds of the others. */
  readonly ranges: readonly Range[];
  /** By component, how often it came out of its range. */
  readonly growths: readonly number[];
}

/** What is known of the rows of a run before they come. */
export interface Foreseen {
  /** By component, where the values of many of them lie. */
  readonly ranges: readonly Range[];
  /** Whether these are all rows of the run. */
  readonly isAll: boolean;
}

/**
 * The lanes of many rows, made when they are first needed and kept while rows fit them: what served as a constant must be
 * the same, the rest within the ranges kernels were made for, which are the quicker the narrower these are. When rows do
 * not fit, lanes are made anew for these and for all before, with room to spare where they came out. None of it changes a bit of the outcomes.
 */
export class ReadyRunners {
  private readonly program: Program;
  private readonly plans: readonly Plan[];
  private readonly speed: Speed;
  private fit: Fit | null = null;
  private runners: readonly Runner[] = [];
  private block = 0;
  private followed = false;

  constructor(program: Program, plans: readonly Plan[], speed: Speed) {
    this.program = program;
    this.plans = plans;
    this.speed = speed;
  }

  /**
   * Lanes for `rows`, `block` at a time, of a run of `inAll` rows, by which it is judged whether a kernel pays; `foreseen`
   * is asked when lanes must be made.
   */
  for(rows: Float64Array, block: number, inAll: number, foreseen?: () => Foreseen): readonly Runner[] {
    const width = this.program.components.length;
    const follows = this.followed || this.pays(inAll);
    const fits = this.fit !== null && fitting(this.fit, rows, width);
    if (fits && block <= this.block && follows === this.followed) return this.runners;
    if (this.fit === null || !fits) {
      const ahead = follows ? (foreseen?.() ?? null) : null;
      this.fit = grown(this.fit, rows, width, ahead, ahead === null ? inAll * width > rows.length : !ahead.isAll);
    }
    this.block = Math.max(block, this.block);
    this.followed = follows;
    const { row, varies, ranges } = this.fit;
    const { instantiate } = this.speed;
    this.runners = this.plans.map((plan) => {
      const follow =
        follows && instantiate !== undefined
          ? (lanes: Lanes, view: View) =>
              followKernel(this.program, plan, view, lanes, (component) => ranges[component]!, instantiate)
          : null;
      return new Runner(this.program, plan, row, varies, this.block, follow);
    });
    return this.runners;
  }

  private pays(rows: number): boolean {
    const { kernelFrom, instantiate } = this.speed;
    if (instantiate === undefined) return false;
    if (kernelFrom !== undefined) return rows >= kernelFrom;
    const lanes = rows * this.program.groups.length;
    return this.plans.some((plan) => kernelPays(plan, lanes));
  }
}

function fitting({ row, varies, ranges }: Fit, rows: Float64Array, width: number): boolean {
  for (let component = 0; component < width; component++) {
    const { low, high, nan } = ranges[component]!;
    const same = varies[component] ? null : row[component]!;
    for (let at = component; at < rows.length; at += width) {
      const value = rows[at]!;
      if (same !== null) {
        if (!Object.is(value, same)) return false;
      } else if (!(value >= low && value <= high) && !(nan && Number.isNaN(value))) return false;
    }
  }
  return true;
}

/** Of its own width, what a range is widened by when rows are to come that nobody has seen. */
const firstRoom = 0.5;
const mostRoom = 16;
/** Of values that are small and above 0, how many times smaller ones there is room for. */
const nearerToZero = 100;

function grown(
  before: Fit | null,
  rows: Float64Array,
  width: number,
  ahead: Foreseen | null,
  isMoreToCome: boolean,
): Fit {
  const row = rows.slice(0, width);
  const varies: boolean[] = [];
  const ranges: Range[] = [];
  const growths: number[] = [];
  for (let component = 0; component < width; component++) {
    const first = before === null ? rows[component]! : before.row[component]!;
    row[component] = first;
    const seen = rangeOf(rows, component, width);
    const range = ahead === null ? seen : hull(seen, ahead.ranges[component]!);
    let isVarying = before?.varies[component] || range.low !== range.high;
    for (let at = component; at < rows.length && !isVarying; at += width) isVarying = !Object.is(rows[at], first);
    varies.push(isVarying);
    const known = before?.ranges[component] ?? null;
    const whole = known === null ? range : hull(range, known);
    const isOut = known !== null && (whole.low !== known.low || whole.high !== known.high || whole.nan !== known.nan);
    const times = (before?.growths[component] ?? 0) + (isOut ? 1 : 0);
    growths.push(times);
    // where all rows are here there is need of none, unless others came out again and again
    const hasRoom = isVarying && (known === null ? isMoreToCome : isOut && (isMoreToCome || times > 1));
    ranges.push(hasRoom ? widened(whole, times) : whole);
  }
  return { row, varies, ranges, growths };
}

/** Room on both sides; what lies above 0 stays there, and what lies between 0 and 1, since kernels gain from both. */
function widened({ low, high, nan }: Range, times: number): Range {
  const more = (high - low) * Math.min(mostRoom, firstRoom * 2 ** times);
  if (!(more > 0 && more < Infinity)) return { low, high, nan };
  const most = low >= 0 && high <= 1 ? 1 : Infinity;
  return {
    low: low > 0 ? Math.max(low - more, low / nearerToZero) : low < 0 ? low - more : 0,
    high: Math.min(high + more, most),
    nan,
  };
}
