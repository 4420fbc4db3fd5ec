import { expm } from "./expm.ts";
import { matrixLog } from "./matrix-log.ts";

/**
 * The transition probabilities of a continuous-time Markov chain over a time: exp(Q t), with no limit on the number of
 * moves within the time.
 *
 * @param generator - Q, row by row: rates off the diagonal, per unit of time; each row sums to zero
 * @param n - number of states
 * @param time - 0 or more, in the unit of the rates
 *
 * Throws on a matrix that is no generator: a negative rate, or a row sum beyond 1e-9 of its diagonal. Entries that
 * rounding leaves below zero are returned as they are, within 1e-15 or so.
 *
 * Source: Jones, Epstein, Garcia-Mochon, Med Decis Making 2017;37:779-789.
 *
 * @example
 * transitionOver(Float64Array.of(-0.5, 0.5, 0, 0), 2, 1); // Float64Array [0.6065..., 0.3934..., 0, 1]
 */
export function transitionOver(generator: Float64Array, n: number, time: number): Float64Array {
  if (!(time >= 0)) throw new Error(`time out of range: ${time}`);
  for (let i = 0; i < n; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) {
      const rate = generator[i * n + j]!;
      if (i !== j && !(rate >= 0)) throw new Error(`rate out of range from state ${i} to ${j}: ${rate}`);
      sum += rate;
    }
    const leaving = Math.abs(generator[i * n + i]!);
    if (!(Math.abs(sum) <= 1e-9 * leaving)) throw new Error(`row ${i} of the generator sums to ${sum}, not 0`);
  }
  return expm(
    generator.map((rate) => rate * time),
    n,
  );
}

/** A power of a transition matrix, or why there is none. */
export type TransitionPower =
  | {
      readonly kind: "power";
      /** Row by row; rows sum to 1 within rounding. */
      readonly matrix: Float64Array;
      /** The least entry; clearly negative if the matrix has no stochastic root of this kind. */
      readonly least: number;
    }
  | { readonly kind: "no real logarithm" };

/**
 * The transition matrix for a fraction of a cycle, or for several: the principal power P^exponent = exp(exponent log P).
 *
 * @param p - transition probabilities of one cycle, row by row
 * @param n - number of states
 * @param exponent - cycles wanted: 1/12 turns a year into a month; any finite number
 *
 * This, unlike converting each entry by 1 - (1 - p)^exponent, composes: twelve months make the year. The principal root
 * of a stochastic matrix can have negative entries, which `least` shows and which are not repaired here. "no real
 * logarithm" comes back for a singular matrix or one with a negative eigenvalue.
 *
 * Source: Chhatwal, Jayasuriya, Elbasha, Med Decis Making 2016;36:952-964.
 *
 * @example
 * transitionPower(Float64Array.of(0.25, 0.75, 0, 1), 2, 0.5).kind; // "power"
 */
export function transitionPower(p: Float64Array, n: number, exponent: number): TransitionPower {
  const generator = matrixLog(p, n);
  if (generator === undefined) return { kind: "no real logarithm" };
  const matrix = expm(
    generator.map((value) => value * exponent),
    n,
  );
  let least = Number.POSITIVE_INFINITY;
  for (const entry of matrix) least = Math.min(least, entry);
  return { kind: "power", matrix, least };
}
