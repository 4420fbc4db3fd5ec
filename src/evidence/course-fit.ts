import { exp } from "../numerics/exp.ts";
import { leastSquares } from "../numerics/least-squares.ts";
import { log } from "../numerics/log.ts";
import { logistic, logit } from "../numerics/special/logit.ts";
import type { CourseFamily, Scale } from "./course-family.ts";

/** Points of a course: rising times in years, means, and the Cholesky factor of the covariance of their errors, by rows. */
export interface CoursePoints {
  readonly times: readonly number[];
  readonly means: readonly number[];
  readonly factor: Float64Array;
}

/** Parameters of a course estimated together; the vectors hold those that were estimated, in the family's order. */
export interface CourseFit {
  readonly names: readonly string[];
  readonly scales: readonly Scale[];
  /** Estimates on their scale, and their standard errors there. */
  readonly mu: readonly number[];
  readonly sigma: readonly number[];
  /** Correlation of the estimates on their scales, by rows. */
  readonly correlation: readonly number[];
  /** The curve at the times of the points. */
  readonly fitted: readonly number[];
  /** Sum of squared distances in standard errors, and the points beyond the parameters. */
  readonly squares: number;
  readonly spare: number;
}

// where an estimate on a log or logit scale has run away to: beyond, the data put it at the end of its range
const runaway = 15;

/** From the scale on which a parameter is normal to its own. */
export function fromScale(scale: Scale, value: number): number {
  return scale === "log" ? exp(value) : scale === "logit" ? logistic(value) : value;
}

const toScale = (scale: Scale, value: number): number =>
  scale === "log" ? log(value) : scale === "logit" ? logit(value) : value;

const onScale = (scale: Scale, value: number): boolean =>
  scale === "natural" || (value > 0 && (scale === "log" || value < 1));

/**
 * Generalised non-linear least squares of a family to points whose errors are known, on the scales of the parameters;
 * `given` holds those not estimated. `undefined` where there is no minimum inside their ranges. Needs as many points as
 * parameters. The covariance is that of the errors of the points alone; misfit does not widen it.
 */
export function fitCourse(
  family: CourseFamily,
  scales: readonly Scale[],
  points: CoursePoints,
  given: ReadonlyMap<string, number>,
): CourseFit | undefined {
  const { times, means, factor } = points;
  const n = times.length;
  const all = family.parameters.map((name) => given.get(name) ?? Number.NaN);
  const free = family.parameters.flatMap((name, j) => (given.has(name) ? [] : [j]));
  const p = free.length;
  const slopes = new Float64Array(family.parameters.length);
  const naturals = (theta: Float64Array): readonly number[] => {
    const values = [...all];
    for (const [j, at] of free.entries()) values[at] = fromScale(scales[at]!, theta[j]!);
    return values;
  };
  const problem = {
    count: n,
    at(theta: Float64Array, residuals: Float64Array, jacobian: Float64Array) {
      const values = naturals(theta);
      for (const [i, time] of times.entries()) {
        residuals[i] = means[i]! - family.value(time, values, slopes);
        for (const [j, at] of free.entries()) {
          const value = values[at]!;
          const stretch = scales[at] === "log" ? value : scales[at] === "logit" ? value * (1 - value) : 1;
          jacobian[i * p + j] = slopes[at]! * stretch;
        }
      }
      whiten(factor, n, residuals, 1);
      whiten(factor, n, jacobian, p);
    },
  };
  const start = startOf(family, scales, points, all);
  const found =
    start &&
    leastSquares(
      problem,
      Float64Array.from(free, (at) => toScale(scales[at]!, start[at]!)),
    );
  if (found === undefined) return undefined;
  const mu = [...found.estimates];
  if (mu.some((value, j) => scales[free[j]!] !== "natural" && Math.abs(value) > runaway)) return undefined;
  const sigma = mu.map((_, j) => Math.sqrt(found.covariance[j * p + j]!));
  const final = naturals(found.estimates);
  return {
    names: free.map((at) => family.parameters[at]!),
    scales: free.map((at) => scales[at]!),
    mu,
    sigma,
    correlation: [...found.covariance].map((c, at) =>
      Math.floor(at / p) === at % p ? 1 : c / (sigma[Math.floor(at / p)]! * sigma[at % p]!),
    ),
    fitted: times.map((time) => family.value(time, final, slopes)),
    squares: found.squares,
    spare: n - p,
  };
}

/** L^-1 applied in place to `width` columns held by rows. */
function whiten(factor: Float64Array, n: number, columns: Float64Array, width: number): void {
  for (let j = 0; j < width; j++)
    for (let i = 0; i < n; i++) {
      let value = columns[i * width + j]!;
      for (let k = 0; k < i; k++) value -= factor[i * n + k]! * columns[k * width + j]!;
      columns[i * width + j] = value / factor[i * n + i]!;
    }
}

/** The best of a grid of rates and lasting shares; the first parameter, in which every family is linear, fits exactly. */
function startOf(
  family: CourseFamily,
  scales: readonly Scale[],
  { times, means, factor }: CoursePoints,
  all: readonly number[],
): readonly number[] | undefined {
  const n = times.length;
  const span = times[n - 1]!;
  const options = family.parameters.map((name, j) => {
    if (!Number.isNaN(all[j])) return [all[j]!];
    if (name === "rate") return Array.from({ length: 33 }, (_, i) => (0.02 * exp((i * log(2500)) / 32)) / span);
    return name === "lasting" ? Array.from({ length: 19 }, (_, i) => (i + 1) / 20) : [1];
  });
  const slopes = new Float64Array(all.length);
  const y = Float64Array.from(means);
  whiten(factor, n, y, 1);
  let best: readonly number[] | undefined;
  let least = Number.POSITIVE_INFINITY;
  const combinations = options.reduce<readonly (readonly number[])[]>(
    (list, values) => list.flatMap((head) => values.map((value) => [...head, value])),
    [[]],
  );
  for (const [first, ...rest] of combinations) {
    const curve = Float64Array.from(times, (time) => family.value(time, [first!, ...rest], slopes));
    whiten(factor, n, curve, 1);
    const own = curve.reduce((sum, value) => sum + value * value, 0);
    const shared = curve.reduce((sum, value, i) => sum + value * y[i]!, 0);
    const size = Number.isNaN(all[0]) ? shared / own : 1;
    const values = [first! * size, ...rest];
    if (!values.every((value, j) => onScale(scales[j]!, value) || !Number.isNaN(all[j]))) continue;
    const squares = y.reduce((sum, value, i) => sum + (value - size * curve[i]!) * (value - size * curve[i]!), 0);
    if (squares < least) {
      least = squares;
      best = values;
    }
  }
  return best;
}
