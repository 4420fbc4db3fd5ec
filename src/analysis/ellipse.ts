import { log } from "../numerics/log.ts";

/** Means, variances and covariance of two quantities drawn together. */
export interface JointMoments {
  readonly meanX: number;
  readonly meanY: number;
  readonly varianceX: number;
  readonly varianceY: number;
  readonly covariance: number;
}

/** A point or a direction in the plane of two drawn quantities. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** An ellipse as its centre, the unit vectors of its axes and half their lengths. */
export interface Ellipse {
  readonly centre: Point;
  /** Direction of the long axis; `x` is positive, or 0 with `y` 1. The short axis is at a right angle to it. */
  readonly longAxis: Point;
  readonly longHalf: number;
  readonly shortHalf: number;
}

/**
 * The ellipse that holds a given share of a bivariate normal with these moments.
 *
 * Half-axes are the roots of the covariance matrix's eigenvalues times `-2 ln(1 - share)`, the exact chi-square
 * quantile with 2 degrees of freedom. Quantities without spread give half-axes of 0.
 * @param share 0 to 1, both excluded; 0.95 is usual
 *
 * Source: Johnson and Wichern, Applied Multivariate Statistical Analysis, contours of the normal density (from memory).
 * @example covarianceEllipse({ meanX: 0, meanY: 0, varianceX: 1, varianceY: 4, covariance: 0 }, 0.95).longAxis // { x: 0, y: 1 }
 */
export function covarianceEllipse(moments: JointMoments, share: number): Ellipse {
  if (!(share > 0 && share < 1)) throw new Error(`the share of an ellipse is ${share}; it must lie between 0 and 1`);
  const { meanX, meanY, varianceX: a, varianceY: b, covariance: c } = moments;
  const halfGap = (a - b) / 2;
  const root = Math.sqrt(halfGap * halfGap + c * c);
  const large = (a + b) / 2 + root;
  // The product of the eigenvalues is the determinant; subtracting `root` instead would lose the small one.
  const small = large > 0 ? Math.max(0, (a * b - c * c) / large) : 0;
  const scale = -2 * log(1 - share);
  return {
    centre: { x: meanX, y: meanY },
    longAxis: longDirection(halfGap, root, c),
    longHalf: Math.sqrt(scale * large),
    shortHalf: Math.sqrt(scale * small),
  };
}

/** Eigenvector of the larger eigenvalue, from whichever row of the matrix does not cancel. */
function longDirection(halfGap: number, root: number, c: number): Point {
  if (c === 0) return halfGap >= 0 ? { x: 1, y: 0 } : { x: 0, y: 1 };
  const [x, y] = halfGap >= 0 ? [halfGap + root, c] : [Math.abs(c), (root - halfGap) * Math.sign(c)];
  const length = Math.sqrt(x * x + y * y);
  return { x: x / length, y: y / length };
}

/**
 * Points round an ellipse, counter-clockwise from the end of the long axis, the first not repeated.
 *
 * Each quarter takes the rational parametrisation of the circle, `((1 - t^2), 2t) / (1 + t^2)`, at even steps of t, so
 * no sine is needed; points lie up to twice as dense at the end of a quarter as at its start.
 * @param perQuarter points in each quarter, 1 or more; 16 draw smoothly
 * @example ellipseOutline({ centre: { x: 0, y: 0 }, longAxis: { x: 1, y: 0 }, longHalf: 2, shortHalf: 1 }, 1)[1] // { x: 0, y: 1 }
 */
export function ellipseOutline(ellipse: Ellipse, perQuarter: number): readonly Point[] {
  const { centre, longAxis, longHalf, shortHalf } = ellipse;
  const at = (along: number, across: number): Point => ({
    x: centre.x + along * longHalf * longAxis.x - across * shortHalf * longAxis.y,
    y: centre.y + along * longHalf * longAxis.y + across * shortHalf * longAxis.x,
  });
  const quarter = Array.from({ length: perQuarter }, (_, i) => {
    const t = i / perQuarter;
    return [(1 - t * t) / (1 + t * t), (2 * t) / (1 + t * t)] as const;
  });
  return [
    ...quarter.map(([c, s]) => at(c, s)),
    ...quarter.map(([c, s]) => at(-s, c)),
    ...quarter.map(([c, s]) => at(-c, -s)),
    ...quarter.map(([c, s]) => at(s, -c)),
  ];
}
