import { Matrix, QrDecomposition, solve } from "ml-matrix";

/** What is to be made small: residuals in units of their standard errors, independent of each other, and their slopes. */
export interface Residuals {
  /** Number of residuals. */
  readonly count: number;
  /** Fills the residuals (value less curve) and the slopes of the curve, `[residual][parameter]`, at some parameters. */
  readonly at: (parameters: Float64Array, residuals: Float64Array, slopes: Float64Array) => void;
}

/** A minimum of the sum of squares. */
export interface LeastSquares {
  readonly estimates: Float64Array;
  /** Covariance of the estimates by rows, (J'J)^-1: the errors of the data are known, not estimated from the misfit. */
  readonly covariance: Float64Array;
  readonly squares: number;
  readonly steps: number;
}

const mostSteps = 200;
const mostHalvings = 30;
// a step this short moves the curve by so many standard errors of the data
const shortest = 1e-10;

/**
 * Non-linear least squares by Gauss-Newton steps, halved until the sum of squares falls; `undefined` where no minimum is
 * found in 200 steps or the slopes do not tell the parameters apart.
 * Source: Bates and Watts, Nonlinear Regression Analysis and Its Applications (Wiley 1988), section 2.2 (from memory).
 */
export function leastSquares(problem: Residuals, start: Float64Array): LeastSquares | undefined {
  const { count: n } = problem;
  const p = start.length;
  const residuals = new Float64Array(n);
  const slopes = new Float64Array(n * p);
  const squaresAt = (parameters: Float64Array): number => {
    problem.at(parameters, residuals, slopes);
    return residuals.reduce((sum, r) => sum + r * r, 0);
  };
  let estimates = start;
  let squares = squaresAt(estimates);
  for (let steps = 1; steps <= mostSteps; steps++) {
    if (!(Number.isFinite(squares) && slopes.every(Number.isFinite))) return undefined;
    const J = Matrix.from1DArray(n, p, slopes);
    const qr = new QrDecomposition(J);
    if (!qr.isFullRank()) return undefined;
    const step = qr.solve(Matrix.columnVector(residuals));
    const length = J.mmul(step).norm();
    if (length < shortest) {
      const inverse = solve(qr.upperTriangularMatrix, Matrix.eye(p));
      const covariance = Float64Array.from(inverse.mmul(inverse.transpose()).to1DArray());
      return { estimates, covariance, squares, steps };
    }
    // the sum of squares falls by about the square of the length: below its rounding the whole step is taken untested
    const untested = length * length < 1e-12 * (1 + squares);
    let fraction = 1;
    let next = estimates;
    let fallen = Number.NaN;
    for (let halving = 0; halving <= mostHalvings; halving++) {
      next = estimates.map((value, j) => value + fraction * step.get(j, 0));
      fallen = squaresAt(next);
      if (untested || fallen <= squares) break;
      fraction /= 2;
    }
    if (!(untested || fallen <= squares)) return undefined;
    estimates = next;
    squares = fallen;
  }
  return undefined;
}
