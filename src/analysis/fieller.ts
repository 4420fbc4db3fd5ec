/** Two correlated means whose ratio is wanted, say a difference in cost over a difference in effect. */
export interface CorrelatedMeans {
  readonly numerator: number;
  readonly denominator: number;
  /** Squared standard errors of the two means, and their covariance. */
  readonly numeratorVariance: number;
  readonly denominatorVariance: number;
  readonly covariance: number;
}

/** The ratios compatible with the data: between two limits, outside two limits, or every number. */
export type RatioSet =
  | { readonly shape: "interval" | "outside"; readonly low: number; readonly high: number }
  | { readonly shape: "everything" };

/**
 * The Fieller confidence set of a ratio of correlated means, with its shape.
 *
 * The set holds every R with `(a - R b)^2 <= z^2 (va - 2 R cov + R^2 vb)`, a and b the numerator and denominator, v
 * their variances. It is an interval while b lies more than z standard errors from 0. Otherwise it is all numbers
 * `<= low` or `>= high` ("outside"; a limit is infinite when b lies exactly z standard errors from 0), or every number
 * when nothing is ruled out. Null where there is no ratio: the denominator is 0 and known without error.
 * @param z normal quantile, above 0; 1.96 for a two-sided 95% set
 *
 * Source: Fieller, J R Stat Soc B 1954;16:175-185; Briggs and Fenn, Health Econ 1998;7:723-740 (both from memory).
 * @example fieller({ numerator: 1, denominator: 1, numeratorVariance: 0, denominatorVariance: 4, covariance: 0 }, 2)?.shape // "outside"
 */
export function fieller(means: CorrelatedMeans, z: number): RatioSet | null {
  const { numerator: a, denominator: b, numeratorVariance: va, denominatorVariance: vb, covariance: cov } = means;
  if (b === 0 && vb === 0) return null;
  const z2 = z * z;
  // The set is quadratic R^2 - 2 linear R + constant <= 0.
  const quadratic = b * b - z2 * vb;
  const linear = a * b - z2 * cov;
  const constant = a * a - z2 * va;
  // Equal to linear^2 - quadratic * constant, without its cancellation when the errors are small.
  const quarterDiscriminant = z2 * (a * a * vb - 2 * a * b * cov + b * b * va - z2 * (va * vb - cov * cov));

  if (quadratic > 0)
    return { shape: "interval", ...limits(quadratic, linear, constant, Math.max(0, quarterDiscriminant)) };
  if (quadratic < 0) {
    if (quarterDiscriminant <= 0) return { shape: "everything" };
    return { shape: "outside", ...limits(quadratic, linear, constant, quarterDiscriminant) };
  }
  if (linear === 0) return { shape: "everything" };
  const limit = constant / (2 * linear);
  return linear > 0
    ? { shape: "outside", low: Number.NEGATIVE_INFINITY, high: limit }
    : { shape: "outside", low: limit, high: Number.POSITIVE_INFINITY };
}

/** Both roots of the quadratic by the form that never subtracts nearly equal numbers. */
function limits(quadratic: number, linear: number, constant: number, quarterDiscriminant: number) {
  const root = Math.sqrt(quarterDiscriminant);
  const q = linear >= 0 ? linear + root : linear - root;
  const first = q / quadratic;
  const second = q === 0 ? 0 : constant / q;
  return { low: Math.min(first, second), high: Math.max(first, second) };
}
