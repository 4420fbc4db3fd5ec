import { normalQuantile } from "./normal-quantile.ts";
import { normalAbove, normalBelow } from "./normal-tail.ts";

/** Unit intervals of the score on each side of 0: beyond, p is below 1e-18. */
const reach = 9;

/** Coefficients of a cell, one more than its degree. */
const size = 8;

/** Finest division of a unit interval. */
const mostCells = 32;

/** A cell that errs by more at its ends or its middle is divided. There a polynomial through these nodes errs most. */
const tolerance = 1e-10;

/** Not tabulated: asked exactly. */
const asked = -1;

// Source: Chebyshev nodes, Trefethen, Approximation Theory and Approximation Practice (SIAM 2013), from memory. They are
// cos((2 k + 1) pi / 16), written out because functions that differ between engines are not used.
const nodes = [
  -0.9807852804032304, -0.8314696123025452, -0.5555702330196022, -0.19509032201612828, 0.19509032201612828,
  0.5555702330196022, 0.8314696123025452, 0.9807852804032304,
] as const;

/**
 * A smooth function of the normal score, tabulated cell by cell as it is asked for: in each cell a polynomial of degree 7
 * through eight values of the exact function. A cell's polynomial follows from the function alone, so what `at` gives
 * does not depend on what was asked before. Where a function is so steep that cells of 1/32 err by more than 1e-10, or is
 * not finite, it is asked itself.
 *
 * Absolute error: 1e-10 where cells are checked, below 1e-9 anywhere (measured on laws of shapes 0.01 to 1e6).
 */
export class ScoreTable {
  private readonly exact: (p: number, upper: number) => number;
  /** Cells of each unit interval; 0 where none are made yet. */
  private readonly counts = new Int8Array(2 * reach);
  private readonly cells: Float64Array[] = [];

  /** `exact` gives the function where the probability below the score is p, and above it `upper`. */
  constructor(exact: (p: number, upper: number) => number) {
    this.exact = exact;
  }

  /** The function's value where the probability below is p in (0, 1), and above it `upper`. */
  at(p: number, upper: number): number {
    const score = normalQuantile(p, upper);
    const whole = Math.floor(score);
    const interval = whole + reach;
    if (!(interval >= 0 && interval < 2 * reach)) return this.exact(p, upper);
    let count = this.counts[interval]!;
    if (count === 0) count = this.made(interval);
    if (count === asked) return this.exact(p, upper);
    const place = (score - whole) * count;
    const cell = Math.min(Math.floor(place), count - 1);
    const t = 2 * (place - cell) - 1;
    return polynomial(this.cells[interval]!, size * cell, t);
  }

  private made(interval: number): number {
    for (let count = 1; count <= mostCells; count *= 2) {
      const cells = new Float64Array(size * count);
      let isGood = true;
      for (let cell = 0; cell < count && isGood; cell++) isGood = this.fill(cells, cell, interval - reach, count);
      if (!isGood) continue;
      this.cells[interval] = cells;
      this.counts[interval] = count;
      return count;
    }
    this.counts[interval] = asked;
    return asked;
  }

  /** Writes the polynomial of a cell; false where it errs too much. */
  private fill(cells: Float64Array, cell: number, low: number, count: number): boolean {
    const value = (t: number): number => {
      const score = low + (cell + 0.5 * (t + 1)) / count;
      return this.exact(normalBelow(score), normalAbove(score));
    };
    // divided differences, then Newton's form multiplied out from the last node
    const differences = nodes.map(value);
    for (let order = 1; order < size; order++)
      for (let k = size - 1; k >= order; k--)
        differences[k] = (differences[k]! - differences[k - 1]!) / (nodes[k]! - nodes[k - order]!);
    const at = size * cell;
    for (let k = size - 1; k >= 0; k--) {
      for (let i = size - 1; i > 0; i--) cells[at + i] = cells[at + i - 1]! - nodes[k]! * cells[at + i]!;
      cells[at] = differences[k]! - nodes[k]! * cells[at]!;
    }
    return [-1, 0, 1].every((t) => Math.abs(polynomial(cells, at, t) - value(t)) <= tolerance);
  }
}

function polynomial(c: Float64Array, at: number, t: number): number {
  const high = ((c[at + 7]! * t + c[at + 6]!) * t + c[at + 5]!) * t + c[at + 4]!;
  return (((high * t + c[at + 3]!) * t + c[at + 2]!) * t + c[at + 1]!) * t + c[at]!;
}
