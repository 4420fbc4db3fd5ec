import { exp, expm1 } from "../../numerics/exp.ts";
import { log, log1p } from "../../numerics/log.ts";
import { pow } from "../../numerics/pow.ts";
import type { GraphNode } from "../graph.ts";
import type { Table } from "../program.ts";

/** Where all values of a node lie: from `low` to `high`, or perhaps NaN. Zeros of either sign count as 0. */
export interface Range {
  readonly low: number;
  readonly high: number;
  readonly nan: boolean;
}

const { NEGATIVE_INFINITY, POSITIVE_INFINITY, MIN_VALUE } = Number;

/** Anything at all. */
export const anything: Range = { low: NEGATIVE_INFINITY, high: POSITIVE_INFINITY, nan: true };

/** Where no values lie. */
export const none: Range = { low: POSITIVE_INFINITY, high: NEGATIVE_INFINITY, nan: false };

/** The range of values, or of every `stride`-th one from `first` on. */
export function rangeOf(values: ArrayLike<number>, first = 0, stride = 1): Range {
  let low = POSITIVE_INFINITY;
  let high = NEGATIVE_INFINITY;
  let nan = false;
  for (let k = first; k < values.length; k += stride) {
    const value = values[k]!;
    if (value < low) low = value;
    if (value > high) high = value;
    if (Number.isNaN(value)) nan = true;
  }
  return low <= high ? { low, high, nan } : anything;
}

/** The range of values that lie in one range or in the other. */
export function hull(a: Range, b: Range): Range {
  return { low: Math.min(a.low, b.low), high: Math.max(a.high, b.high), nan: a.nan || b.nan };
}

/** True where all values lie from `low` to `high` and none is NaN. */
export function within({ low, high, nan }: Range, least: number, most: number): boolean {
  return !nan && low >= least && high <= most;
}

/**
 * The range of a node from those of its operands. Sums, differences, products and quotients are rounded as the bounds
 * are, and rounding keeps order, so corners bound them; functions are widened by more than they err.
 * Source: Moore, Kearfott, Cloud, Introduction to Interval Analysis (SIAM 2009), from memory.
 */
export function rangeAfter(node: GraphNode, tables: readonly Table[], of: readonly Range[]): Range {
  const [a = anything, b = anything, c = anything] = of;
  switch (node.op) {
    case "constant":
      return rangeOf([node.value]);
    case "add":
      return spread(a, b, a.low + b.low, a.high + b.high);
    case "subtract":
      return spread(a, b, a.low - b.high, a.high - b.low);
    case "multiply":
      return corners(a, b, (x, y) => x * y);
    case "divide":
      return b.low <= 0 && b.high >= 0 ? anything : corners(a, b, (x, y) => x / y);
    case "power": {
      if (!(a.low > 0) || !isBounded(a) || !isBounded(b)) return anything;
      const { low, high, nan } = widened(corners(a, b, pow));
      return { low: Math.max(0, low), high, nan };
    }
    case "negate":
      return { low: -a.high, high: -a.low, nan: a.nan };
    case "abs": {
      const high = Math.max(-a.low, a.high);
      return { low: a.low > 0 ? a.low : a.high < 0 ? -a.high : 0, high, nan: a.nan };
    }
    case "floor":
      return { low: Math.floor(a.low), high: Math.floor(a.high), nan: a.nan };
    case "sqrt":
      return a.low >= 0 ? { low: Math.sqrt(a.low), high: Math.sqrt(a.high), nan: a.nan } : anything;
    case "exp": {
      const { low, high, nan } = widened({ low: exp(a.low), high: exp(a.high), nan: a.nan });
      return { low: Math.max(0, low), high, nan };
    }
    case "expm1":
      return widened({ low: expm1(a.low), high: expm1(a.high), nan: a.nan });
    case "log":
      return a.low > 0 ? widened({ low: log(a.low), high: log(a.high), nan: a.nan }) : anything;
    case "log1p":
      return a.low > -1 ? widened({ low: log1p(a.low), high: log1p(a.high), nan: a.nan }) : anything;
    case "min":
      // NaN on the left gives the right, whatever it is
      return a.nan ? hull(a, b) : { low: Math.min(a.low, b.low), high: Math.min(a.high, b.high), nan: b.nan };
    case "max":
      return a.nan ? hull(a, b) : { low: Math.max(a.low, b.low), high: Math.max(a.high, b.high), nan: b.nan };
    case "if":
      return hull(b, c);
    case "table":
      return tableRange(tables[node.table]!, b);
    case "less":
      return told(!a.nan && !b.nan && a.high < b.low, a.low >= b.high);
    case "less_or_equal":
      return told(!a.nan && !b.nan && a.high <= b.low, a.low > b.high);
    case "greater":
      return told(!a.nan && !b.nan && a.low > b.high, a.high <= b.low);
    case "greater_or_equal":
      return told(!a.nan && !b.nan && a.low >= b.high, a.high < b.low);
    case "equal":
      return told(false, areApart(a, b));
    case "unequal":
      return told(areApart(a, b), false);
    case "and":
      return told(holds(a) && holds(b), fails(a) || fails(b));
    case "or":
      return told(holds(a) || holds(b), fails(a) && fails(b));
    case "not":
      return told(fails(a), holds(a));
    default:
      return anything;
  }
}

/** Which operand stands for a node in all lanes, if one does: by its place, or -1. */
export function standIn(node: GraphNode, of: readonly Range[]): number {
  const [a = anything, b = anything] = of;
  switch (node.op) {
    case "min":
      // a < b ? a : b
      if (a.high < b.low && !a.nan && !b.nan) return 0;
      return a.low >= b.high ? 1 : -1;
    case "max":
      if (a.low > b.high && !a.nan && !b.nan) return 0;
      return a.high <= b.low ? 1 : -1;
    case "if":
      if (holds(a)) return 1;
      return fails(a) ? 2 : -1;
    default:
      return -1;
  }
}

/** The range of a condition that is known to be true, or false, or neither. */
function told(isTrue: boolean, isFalse: boolean): Range {
  return { low: isTrue ? 1 : 0, high: isFalse ? 0 : 1, nan: false };
}

/** Whether a condition holds wherever values lie; NaN is not 0. */
function holds({ low, high }: Range): boolean {
  return low > 0 || high < 0;
}

function fails({ low, high, nan }: Range): boolean {
  return low === 0 && high === 0 && !nan;
}

/** Whether no value of one is a value of the other; NaN is equal to nothing. */
function areApart(a: Range, b: Range): boolean {
  return a.high < b.low || a.low > b.high;
}

function isBounded({ low, high }: Range): boolean {
  return low > NEGATIVE_INFINITY && high < POSITIVE_INFINITY;
}

/** A range with the bounds of a sum; an infinite operand may meet its opposite. */
function spread(a: Range, b: Range, low: number, high: number): Range {
  return isBounded(a) && isBounded(b) ? { low, high, nan: a.nan || b.nan } : anything;
}

/** The range of what rises or falls in each operand while the other stands still. */
function corners(a: Range, b: Range, f: (x: number, y: number) => number): Range {
  // an infinite operand may meet a 0
  if (!isBounded(a) || !isBounded(b)) return anything;
  const { low, high, nan } = rangeOf([f(a.low, b.low), f(a.low, b.high), f(a.high, b.low), f(a.high, b.high)]);
  return { low, high, nan: nan || a.nan || b.nan };
}

/** Bounds of functions that err by less than 2^-50 of the value, or by the smallest number there is. */
function widened({ low, high, nan }: Range): Range {
  if (Number.isNaN(low) || Number.isNaN(high)) return anything;
  const outward = (value: number): number => (Number.isFinite(value) ? Math.abs(value) * 2 ** -50 + MIN_VALUE : 0);
  return { low: low - outward(low), high: high + outward(high), nan };
}

/** Values between rows lie between those of the rows, but for rounding. */
function tableRange({ between, y, sizes }: Table, row: Range): Range {
  const range = rangeOf(y.flatMap((series) => [...series]));
  const size = Math.max(Math.abs(range.low), Math.abs(range.high));
  const rounding = between === "step" ? 0 : size * 2 ** -48;
  // a series is sure to be there where there is but one
  const one = y.length === 1 && sizes.every((count) => count === 1) && row.low === 0 && row.high === 0 && !row.nan;
  return { low: range.low - rounding, high: range.high + rounding, nan: range.nan || !one };
}
