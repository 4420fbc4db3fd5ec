import type { Findings, Place } from "../errors.ts";
import { choleskyFactor } from "../numerics/copula.ts";
import { type Dimension, none, perTime, time } from "../schema/dimension.ts";
import { type Document, placeIn } from "../schema/document.ts";
import type { Source } from "../schema/evidence.ts";
import type { Step } from "../schema/located.ts";
import { nearestNames } from "../schema/nearest.ts";
import { readQuantity } from "../schema/quantity.ts";
import type { FittedCourse, Scenario } from "../schema/scenario.ts";
import { type CourseFamily, courseFamilies, type Scale } from "./course-family.ts";
import { type CourseFit, fitCourse } from "./course-fit.ts";
import { bareUnit, type Expected, quantityIn } from "./read-quantity.ts";

/** A course estimated from reported points: what was reported, in base units, and the estimates. */
export interface Fit extends CourseFit {
  readonly name: string;
  readonly family: string;
  readonly points: readonly { readonly years: number; readonly mean: number; readonly se: number }[];
  /** Parameters that were given, not estimated. */
  readonly given: Readonly<Record<string, number>>;
  /** Dimension of the points, of `start` and of `level`. */
  readonly dimension: Dimension;
  readonly source: Source;
}

const mostPoints = 60;

interface FitContext {
  readonly scenario: Document<Scenario>;
  readonly currency: string;
  readonly cycleYears: number;
  readonly findings: Findings;
}

/** The dimension of a parameter of a course whose points have a dimension. */
export function parameterDimension(parameter: string, points: Dimension): Dimension {
  return parameter === "rate" ? perTime : parameter === "lasting" ? none : points;
}

/**
 * The courses under `fitted`, estimated. Mistakes go to the findings: too few points, times that do not rise, errors that
 * are missing or not above 0, correlations that no errors have, unknown parameters, no minimum, no source.
 */
export function readFits(context: FitContext): ReadonlyMap<string, Fit> {
  const fits = new Map<string, Fit>();
  for (const [name, given] of Object.entries(context.scenario.data.fitted ?? {})) {
    const fit = readFit(name, given, context);
    if (fit !== undefined) fits.set(name, fit);
  }
  return fits;
}

function readFit(name: string, declared: FittedCourse, context: FitContext): Fit | undefined {
  const { scenario, currency, cycleYears, findings } = context;
  const before = findings.list.length;
  const place = (...steps: readonly Step[]): Place => placeIn(scenario, ["fitted", name, ...steps]);
  const key = placeIn(scenario, ["fitted", name], true);
  const invalid = (what: string, instead: string, ...steps: readonly Step[]): void =>
    findings.add(steps.length === 0 ? key : place(...steps), "evidence-invalid", what, instead);
  const family = courseFamilies[declared.family]!;
  const dimension = dimensionOf(declared, cycleYears);
  const plain: Expected = { dimension, currency, cycleYears };
  const bare = declared.in === undefined ? undefined : bareUnit(declared.in, plain, place("in"), findings);
  const expected: Expected = bare === undefined ? plain : { ...plain, bare };
  if (declared.source === undefined) findings.add(key, "source-missing", name);

  if (declared.points.length > mostPoints)
    findings.add(
      place("points"),
      "out-of-range",
      "points of a course",
      String(declared.points.length),
      `at most ${mostPoints}`,
    );
  const points = declared.points.slice(0, mostPoints).map((point, i) => {
    const years = quantityIn(point.at, { ...plain, dimension: time }, place("points", i, "at"), findings) ?? 0;
    const mean = quantityIn(point.mean, expected, place("points", i, "mean"), findings) ?? 0;
    const spread = (text: string | number | undefined, of: string): number | undefined =>
      text === undefined ? undefined : quantityIn(text, expected, place("points", i, of), findings);
    const sd = spread(point.sd, "sd");
    if ((point.se === undefined) === (point.sd === undefined))
      findings.add(place("points", i), "inconsistent-keys", ["se", "sd"], "give se, or sd with n");
    else if (point.sd !== undefined && !(point.n !== undefined && point.n >= 2))
      invalid("an sd without the number of people", "add n, at least 2, or give se", "points", i);
    const se = spread(point.se, "se") ?? (sd ?? 0) / Math.sqrt(point.n ?? 1);
    if (findings.list.length === before && !(se > 0))
      invalid(`a point with a standard error of ${se}`, "give an error above 0", "points", i);
    return { years, mean, se };
  });
  const wrong = points.findIndex(({ years }, i) => (i === 0 ? years < 0 : !(years > points[i - 1]!.years)));
  if (wrong >= 0) invalid("times that do not rise from 0", "order the points by their times", "points", wrong, "at");

  const fixed = new Map<string, number>();
  for (const [parameter, text] of Object.entries(declared.given ?? {})) {
    if (!known(parameter, family, "given")) continue;
    const of = { ...expected, dimension: parameterDimension(parameter, dimension) };
    const value = quantityIn(text, of, place("given", parameter), findings);
    if (value !== undefined) fixed.set(parameter, value);
  }
  const scales: Scale[] = family.parameters.map((parameter, j) => declared.scale?.[parameter] ?? family.scales[j]!);
  for (const parameter of Object.keys(declared.scale ?? {})) known(parameter, family, "scale");
  const free = family.parameters.filter((parameter) => !fixed.has(parameter));
  if (free.length === 0)
    invalid("a course with nothing to estimate", `leave one of ${family.parameters.join(", ")} out of given`);
  const count = points.filter(({ years }) => years > 0 || free.includes("start")).length;
  if (count < free.length)
    invalid(
      `${count} points for ${free.length} parameters: ${free.join(", ")}`,
      "add points, or give a parameter under given",
      "points",
    );
  const factor = correlated(points.map(({ se }) => se));
  if (findings.list.length > before || factor === undefined) return undefined;

  const times = points.map(({ years }) => years);
  const means = points.map(({ mean }) => mean);
  const fit = fitCourse(family, scales, { times, means, factor }, fixed);
  if (fit === undefined) {
    const instead = "give a parameter under given, choose another family or scale, or add points";
    invalid(`the curve ${declared.family} has no best fit to these points`, instead);
    return undefined;
  }
  return {
    ...fit,
    name,
    family: declared.family,
    points,
    given: Object.fromEntries(fixed),
    dimension,
    source: declared.source ?? "",
  };

  function known(parameter: string, { parameters }: CourseFamily, under: string): boolean {
    if (parameters.includes(parameter)) return true;
    const at = placeIn(scenario, ["fitted", name, under, parameter], true);
    findings.add(at, "unknown-reference", "parameter", parameter, nearestNames(parameter, parameters), parameters);
    return false;
  }

  /** The Cholesky factor of the covariance of the points' errors. */
  function correlated(errors: readonly number[]): Float64Array | undefined {
    const n = errors.length;
    const { correlation = 0 } = declared;
    const isMatrix = typeof correlation !== "number";
    const at = (i: number, j: number): number | undefined =>
      isMatrix ? correlation[i]?.[j] : i === j ? 1 : correlation;
    const entries = errors.flatMap((_, i) => errors.map((_, j) => at(i, j) ?? Number.NaN));
    const shaped = !isMatrix || (correlation.length === n && correlation.every((row) => row.length === n));
    const symmetric = entries.every((value, k) => Math.abs(value - entries[(k % n) * n + Math.floor(k / n)]!) <= 1e-12);
    const unit = errors.every((_, i) => Math.abs(entries[i * n + i]! - 1) <= 1e-9);
    const factor = shaped && symmetric && unit ? choleskyFactor(Float64Array.from(entries), n) : undefined;
    if (factor !== undefined) return factor.map((value, k) => value * errors[Math.floor(k / n)]!);
    const what = isMatrix ? "a matrix that is no correlation of the points" : `a correlation of ${correlation}`;
    invalid(
      what,
      `give one number, or ${n} rows of ${n}, symmetric, 1 on the diagonal, positive definite`,
      "correlation",
    );
    return undefined;
  }
}

/** The dimension of the unit said for all points, or of the first point. */
function dimensionOf({ in: unit, points }: FittedCourse, cycleYears: number): Dimension {
  const read = readQuantity(unit === undefined ? (points[0]?.mean ?? 0) : `1 ${unit}`, cycleYears);
  return "problem" in read ? none : read.dimension;
}
