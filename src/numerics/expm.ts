import { assertSquare, combine, identity, multiply, norm1, solve } from "./matrix.ts";

/** Coefficients of the [13/13] Pade numerator, constant first (Higham 2005, equation 2.3 with m = 13). */
const PADE = [
  64764752532480000, 32382376266240000, 7771770303897600, 1187353796428800, 129060195264000, 10559470521600,
  670442572800, 33522128640, 1323241920, 40840800, 960960, 16380, 182, 1,
] as const;

/** Largest 1-norm at which the [13/13] approximant has backward error below 2^-53 (Higham 2005, table 2.3). */
const THETA = 5.371920351148152;

/**
 * The exponential of a square matrix, by scaling and squaring with the [13/13] Pade approximant.
 *
 * @param a - row by row, n * n finite entries; its norm sets the number of squarings
 * @param n - order, 0 or more
 *
 * No eigenvectors are used, so matrices that cannot be diagonalised lose nothing. For the generator of a Markov chain
 * the rows sum to 1 within rounding. A result beyond the range of doubles has infinite or NaN entries. Throws if
 * entries are missing or not finite.
 *
 * Accuracy: backward error of a unit in the last place before squaring; 1e-14 relative to the norm for generators of
 * moderate size.
 *
 * Source: Higham, SIAM J Matrix Anal Appl 2005;26:1179-1193, algorithm 2.3 with m = 13 alone; reviewed in Higham, SIAM
 * Rev 2009;51:747-764.
 *
 * @example
 * expm(Float64Array.of(0, 1, 0, 0), 2); // Float64Array [1, 1, 0, 1]
 */
export function expm(a: Float64Array, n: number): Float64Array {
  assertSquare(a, n);
  let squarings = 0;
  let scale = 1;
  for (const norm = norm1(a, n); norm * scale > THETA; scale *= 0.5) squarings++;
  const a1 = a.map((value) => value * scale);
  const a2 = multiply(a1, a1, n);
  const a4 = multiply(a2, a2, n);
  const a6 = multiply(a4, a2, n);
  const unit = identity(n);
  /** Sum of the four terms of degree 0, 2, 4, 6 with the given coefficients. */
  const sum = (c0: number, c2: number, c4: number, c6: number): Float64Array =>
    combine(1, combine(c0, unit, c2, a2), 1, combine(c4, a4, c6, a6));
  // The odd half is a1 times oddTail; numerator and denominator are even plus and minus odd (Higham 2005, page 1185).
  const oddTail = combine(
    1,
    multiply(a6, sum(0, PADE[9], PADE[11], PADE[13]), n),
    1,
    sum(PADE[1], PADE[3], PADE[5], PADE[7]),
  );
  const odd = multiply(a1, oddTail, n);
  const even = combine(
    1,
    multiply(a6, sum(0, PADE[8], PADE[10], PADE[12]), n),
    1,
    sum(PADE[0], PADE[2], PADE[4], PADE[6]),
  );
  let result = solve(combine(1, even, -1, odd), combine(1, even, 1, odd), n);
  // Below the bound on the norm the denominator is well conditioned (Higham 2005, section 2).
  if (result === undefined) throw new Error("singular Pade denominator");
  for (let s = 0; s < squarings; s++) result = multiply(result, result, n);
  return result;
}
