import { assertSquare, combine, identity, multiply, norm1, solve } from "./matrix.ts";

/**
 * Nodes and weights of the 7-point Gauss-Legendre rule on [0, 1]; with them the sum of w X (I + x X)^-1 is the [7/7]
 * Pade approximant of log(I + X) (Higham 2008, equation 11.18). Printed by tests/fixtures/numerics/make-matrices.py.
 */
const GAUSS = [
  [0.025446043828620736, 0.06474248308443485],
  [0.12923440720030277, 0.13985269574463832],
  [0.2970774243113014, 0.19091502525255946],
  [0.5, 0.2089795918367347],
  [0.7029225756886985, 0.19091502525255946],
  [0.8707655927996972, 0.13985269574463832],
  [0.9745539561713793, 0.06474248308443485],
] as const;

/** Largest 1-norm of X at which that approximant errs by less than 2^-53 in norm (Higham 2008, table 11.1). */
const THETA = 0.264;

/** Square roots allowed; a matrix of doubles without eigenvalues near zero needs fewer than twenty. */
const MOST_ROOTS = 60;

/** Newton steps allowed for one square root; each halves the logarithm of the spread before it converges quadratically. */
const MOST_STEPS = 100;

/**
 * The principal logarithm of a square matrix, by inverse scaling and squaring; `undefined` if there is no real one.
 *
 * @param a - row by row, n * n finite entries
 * @param n - order, 0 or more
 *
 * No eigenvectors are used, so matrices that cannot be diagonalised lose nothing. `undefined` comes back for a singular
 * matrix and for one with an eigenvalue on the negative real axis. Throws if entries are missing or not finite.
 *
 * Accuracy: about 1e-14 relative to the norm for the transition matrices of the tests; it worsens with the condition of
 * the matrix.
 *
 * Source: Higham, Functions of Matrices (SIAM 2008), section 11.5; square roots by the product form of the
 * Denman-Beavers iteration, Cheng, Higham, Kenney and Laub, SIAM J Matrix Anal Appl 2001;22:1112-1125.
 *
 * @example
 * matrixLog(Float64Array.of(1, 1, 0, 1), 2); // Float64Array [0, 1, 0, 0]
 */
export function matrixLog(a: Float64Array, n: number): Float64Array | undefined {
  assertSquare(a, n);
  const unit = identity(n);
  let root = a;
  let scale = 1;
  for (let s = 0; ; s++, scale *= 2) {
    const x = combine(1, root, -1, unit);
    if (norm1(x, n) <= THETA) return logOfNearIdentity(x, n, scale);
    const next = s < MOST_ROOTS ? squareRoot(root, n) : undefined;
    if (next === undefined) return undefined;
    root = next;
  }
}

/** scale times log(I + X) for small X. */
function logOfNearIdentity(x: Float64Array, n: number, scale: number): Float64Array {
  const unit = identity(n);
  let sum: Float64Array = new Float64Array(n * n);
  for (const [node, weight] of GAUSS) {
    // X and (I + x X)^-1 commute, so the order of the product does not matter.
    const term = solve(combine(1, unit, node, x), x, n);
    if (term === undefined) throw new Error("singular matrix near the identity");
    sum = combine(1, sum, weight * scale, term);
  }
  return sum;
}

/** The principal square root; `undefined` if the iteration meets a singular matrix or does not settle. */
function squareRoot(a: Float64Array, n: number): Float64Array | undefined {
  const unit = identity(n);
  let x = a;
  let m = a;
  let distance = Number.POSITIVE_INFINITY;
  for (let step = 0; step < MOST_STEPS; step++) {
    const inverse = solve(m, unit, n);
    if (inverse === undefined) return undefined;
    x = combine(0.5, x, 0.5, multiply(x, inverse, n));
    m = combine(0.5, unit, 0.25, combine(1, m, 1, inverse));
    const before = distance;
    distance = norm1(combine(1, m, -1, unit), n);
    if (Number.isNaN(distance)) return undefined;
    // Convergence is quadratic, so once close, the first step that gains nothing is down to rounding.
    if (distance === 0 || (distance < 1e-6 && distance >= 0.5 * before)) return x;
  }
  return undefined;
}
