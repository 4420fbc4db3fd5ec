import { SOBOL_TABLE } from "./sobol-table.ts";

const ENTRIES = SOBOL_TABLE.trim().split(/;\n?/);

/** Bits of a row number the sequence can tell apart: at most 2^32 rows. */
export const SOBOL_BITS = 32;

/** Dimensions the table serves. */
export const SOBOL_DIMENSIONS = ENTRIES.length + 1;

/**
 * The 32 direction numbers of one dimension (from 0) of the Sobol sequence, as binary fractions of 32 bits: number j has
 * its lowest set bit at 2^(31 - j). A row's point is the exclusive or of those numbers where its Gray code has a bit.
 *
 * Dimension 0 is the van der Corput sequence. Throws beyond the table's 1,024 dimensions.
 * Source: Bratley and Fox, ACM TOMS 14 (1988) 88-100, equation 2, for the recurrence; numbers as in `SOBOL_TABLE`.
 */
export function sobolDirections(dimension: number): Uint32Array {
  const directions = new Uint32Array(SOBOL_BITS);
  if (dimension === 0) return directions.map((_, j) => 1 << (31 - j));
  const entry = ENTRIES[dimension - 1];
  if (entry === undefined) throw new Error(`Sobol dimension ${dimension} of ${SOBOL_DIMENSIONS}`);
  const [a, ...m] = entry.split(" ").map((digits) => Number.parseInt(digits, 36)) as [number, ...number[]];
  const degree = m.length;
  for (let j = 0; j < SOBOL_BITS; j++) {
    if (j < degree) {
      directions[j] = m[j]! << (31 - j);
      continue;
    }
    let v = directions[j - degree]! ^ (directions[j - degree]! >>> degree);
    for (let i = 1; i < degree; i++) if ((a >>> (degree - 1 - i)) & 1) v ^= directions[j - i]!;
    directions[j] = v;
  }
  return directions;
}
