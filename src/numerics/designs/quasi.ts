import { fillUniforms, type Generator, keyedGenerator } from "../random-stream.ts";
import { type Design, requireRandomisations, USUAL_RANDOMISATIONS } from "./design.ts";
import { SOBOL_BITS, SOBOL_DIMENSIONS, sobolDirections } from "./sobol-directions.ts";

const LOW_BITS = 20;
const LOW_STEPS = 2 ** LOW_BITS;
const STEP = 2 ** -52;

/**
 * Scrambled Sobol points: within each of R randomisations the rows of a component run through one dimension of the Sobol
 * sequence, scrambled independently.
 *
 * The scramble is a random lower triangular matrix on the digits, then a random shift of them, carried to 52 digits: each
 * point is uniform, n = 2^m rows put one point in each of n equal strata of every component, and the variance is that of
 * Owen's nested scrambling. Rows count best in powers of two, so N = R 2^m.
 *
 * Laws: draw k is the same whatever N is, so a prefix of a longer run is the shorter run; a component's numbers depend on
 * its key and index, so components added at the end change nothing before them. Components from index 1,024 on, beyond
 * the table, get independent uniforms. Throws with fewer than 8 randomisations or fewer draws than those.
 * Source: Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635-2654; Matousek, J. Complexity 14 (1998) 527-556, for the
 * linear scramble; Owen, ACM TOMACS 13 (2003) 363-378, for its variance (all from memory).
 */
export function quasi(seed: string | number, draws: number, randomisations = USUAL_RANDOMISATIONS): Design {
  requireRandomisations(randomisations, draws);
  const scrambles = new Map<string, readonly Scramble[]>();
  return {
    name: "quasi",
    draws,
    randomisations,
    fill: (component, index, from, to, target) => {
      if (index >= SOBOL_DIMENSIONS) {
        fillUniforms(seed, component, from, to, target);
        return;
      }
      const key = `${index} ${component}`;
      const own =
        scrambles.get(key) ??
        Array.from({ length: randomisations }, (_, r) =>
          scrambled(sobolDirections(index), keyedGenerator(seed, `${component}/scramble of randomisation ${r}`)),
        );
      scrambles.set(key, own);
      for (const [r, scramble] of own.entries()) {
        const first = from + ((((r - from) % randomisations) + randomisations) % randomisations);
        fillRows(scramble, randomisations, first, from, to, target);
      }
    },
  };
}

/** The direction numbers and the shift after scrambling: 32 high and 20 low digits of each. */
interface Scramble {
  readonly high: Int32Array;
  readonly low: Int32Array;
  readonly shiftHigh: number;
  readonly shiftLow: number;
}

/** Column j of the matrix has a 1 as digit j (from 0), random digits below and none above. */
function scrambled(directions: Uint32Array, next: Generator): Scramble {
  const columnHigh = new Int32Array(SOBOL_BITS);
  const columnLow = new Int32Array(SOBOL_BITS);
  for (let j = 0; j < SOBOL_BITS; j++) {
    const digit = (1 << (31 - j)) >>> 0;
    columnHigh[j] = digit + (Math.floor(next() * 2 ** 32) % digit);
    columnLow[j] = Math.floor(next() * LOW_STEPS);
  }
  const high = new Int32Array(SOBOL_BITS);
  const low = new Int32Array(SOBOL_BITS);
  directions.forEach((direction, b) => {
    for (let j = 0; j < SOBOL_BITS; j++) {
      if ((direction >>> (31 - j)) & 1) {
        high[b]! ^= columnHigh[j]!;
        low[b]! ^= columnLow[j]!;
      }
    }
  });
  return { high, low, shiftHigh: Math.floor(next() * 2 ** 32) | 0, shiftLow: Math.floor(next() * LOW_STEPS) };
}

/** Rows of one randomisation, draws first, first + R, ... below `to`, in Gray code order: one change of digits a row. */
function fillRows(
  { high, low, shiftHigh, shiftLow }: Scramble,
  randomisations: number,
  first: number,
  from: number,
  to: number,
  target: Float64Array,
): void {
  let row = Math.floor(first / randomisations);
  let h = shiftHigh;
  let l = shiftLow;
  const gray = (row ^ (row >>> 1)) >>> 0;
  for (let b = 0; b < SOBOL_BITS; b++) {
    if ((gray >>> b) & 1) {
      h ^= high[b]!;
      l ^= low[b]!;
    }
  }
  for (let k = first; k < to; k += randomisations) {
    target[k - from] = ((h >>> 0) * LOW_STEPS + l + 0.5) * STEP;
    row += 1;
    // the Gray codes of row - 1 and row differ in the digit of row's lowest set bit
    const b = 31 - Math.clz32(row & -row);
    h ^= high[b]!;
    l ^= low[b]!;
  }
}
