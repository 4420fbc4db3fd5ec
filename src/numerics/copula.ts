import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { centred } from "./random-stream.ts";
import { normalQuantile } from "./special/normal-quantile.ts";
import { normalBelow } from "./special/normal-tail.ts";
import { smallSine } from "./special/sine.ts";

/** With a squared pivot not above this the matrix is singular to rounding: one score would follow from the others. */
const SMALLEST_PIVOT = 1e-12;

/**
 * The lower triangular L with L L' = matrix, a correlation matrix of order n by rows, as is L; `undefined` where the
 * matrix is not positive definite. The one place that tests for it. Symmetry is the caller's to see to: of two entries
 * across the diagonal the lower counts.
 * @example choleskyFactor(Float64Array.of(1, 2, 2, 1), 2) // undefined
 */
export function choleskyFactor(matrix: Float64Array, n: number): Float64Array | undefined {
  if (matrix.length !== n * n) throw new Error(`${matrix.length} entries for a matrix of order ${n}`);
  if (!matrix.every(Number.isFinite)) return undefined;
  const rows = Array.from({ length: n }, (_, i) =>
    Array.from({ length: n }, (_, j) => matrix[Math.max(i, j) * n + Math.min(i, j)]!),
  );
  const factor = new CholeskyDecomposition(new Matrix(rows)).lowerTriangularMatrix;
  if (!factor.diagonal().every((pivot) => pivot * pivot > SMALLEST_PIVOT)) return undefined;
  return Float64Array.from(factor.to1DArray());
}

/**
 * Makes independent uniforms dependent by way of normal scores (a Gaussian copula), in place: each stays uniform, so
 * each input keeps its own law, and the scores have the correlations of L L'.
 *
 * `columns[i]` holds the uniforms of member i, in (0, 1), one for each draw; `factor` is L, by rows, with rows of unit
 * length. Draws do not touch each other, and the first column is kept to rounding. Results are on the grid of `centred`.
 * Source: Nelsen, An Introduction to Copulas (Springer 2006), section 2.3 (from memory).
 */
export function correlateUniforms(columns: readonly Float64Array[], factor: Float64Array): void {
  const n = columns.length;
  const draws = columns[0]?.length ?? 0;
  const scores = new Float64Array(n);
  for (let k = 0; k < draws; k++) {
    for (let i = 0; i < n; i++) scores[i] = normalQuantile(columns[i]![k]!);
    for (let i = 0; i < n; i++) {
      let score = 0;
      for (let j = 0; j <= i; j++) score += factor[i * n + j]! * scores[j]!;
      columns[i]![k] = centred(normalBelow(score));
    }
  }
}

/**
 * Correlation of normal scores with which a Gaussian copula has the rank correlation `spearman`, in -1 to 1:
 * 2 sin(pi r / 6).
 * Source: Kruskal, JASA 53 (1958) 814-861, from memory.
 * @example spearmanToNormal(0) // 0
 */
export function spearmanToNormal(spearman: number): number {
  return 2 * smallSine((Math.PI * spearman) / 6);
}
