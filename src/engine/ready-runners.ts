import { type Range, rangeOf } from "../compile/kernel/ranges.ts";
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
  /** How often rows came that did not fit. */
  readonly growths: number;
}

/** A range is widened by this much of its width when more rows are to come, more with every growth. */
const growthFactor = 4;

/**
 * The lanes of many rows, made when they are first needed and kept while rows fit them: what served as a constant must be
 * the same, the rest within the ranges kernels were made for. When rows do not fit, lanes are made anew for these and for
 * all before, with room to spare. None of it changes a bit of the outcomes.
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

  /** Lanes for `rows`, `block` at a time, of a run of `inAll` rows, by which it is judged whether a kernel pays. */
  for(rows: Float64Array, block: number, inAll: number): readonly Runner[] {
    const width = this.program.components.length;
    const follows = this.followed || this.pays(inAll);
    const fits = this.fit !== null && fitting(this.fit, rows, width);
    if (fits && block <= this.block && follows === this.followed) return this.runners;
    if (this.fit === null || !fits) this.fit = grown(this.fit, rows, width, inAll * width > rows.length);
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

function grown(before: Fit | null, rows: Float64Array, width: number, isMoreToCome: boolean): Fit {
  const growths = before === null ? 0 : before.growths + 1;
  const room = isMoreToCome || before !== null ? pow4(growths) : 0;
  const row = rows.slice(0, width);
  const varies: boolean[] = [];
  const ranges: Range[] = [];
  for (let component = 0; component < width; component++) {
    const first = before === null ? rows[component]! : before.row[component]!;
    row[component] = first;
    let isVarying = before?.varies[component] ?? false;
    for (let at = component; at < rows.length && !isVarying; at += width) isVarying = !Object.is(rows[at], first);
    varies.push(isVarying);
    const range = rangeOf(rows, component, width);
    ranges.push(isVarying ? widened(before === null ? range : hull(range, before.ranges[component]!), room) : range);
  }
  return { row, varies, ranges, growths };
}

function pow4(exponent: number): number {
  let power = 1;
  for (let i = 0; i < exponent; i++) power *= growthFactor;
  return power;
}

function hull(a: Range, b: Range): Range {
  return { low: Math.min(a.low, b.low), high: Math.max(a.high, b.high), nan: a.nan || b.nan };
}

/** Room on both sides; what lies above 0 stays there, and what lies between 0 and 1, since kernels gain from both. */
function widened({ low, high, nan }: Range, room: number): Range {
  const more = (high - low) * room;
  if (!(more > 0 && more < Infinity)) return { low, high, nan };
  const most = low >= 0 && high <= 1 ? 1 : Infinity;
  return {
    low: low > 0 ? Math.max(low - more, low / (1 + room * room)) : low < 0 ? low - more : 0,
    high: Math.min(high + more, most),
    nan,
  };
}
