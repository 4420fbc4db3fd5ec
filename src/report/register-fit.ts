import { fromScale } from "../evidence/course-fit.ts";
import type { Fit } from "../evidence/read-fits.ts";
import type { Source } from "../schema/evidence.ts";
import type { TextTable } from "./table-text.ts";

/** A course fitted to reported points: what was reported, the curve there, and the estimates that inputs take. */
export interface RegisterFit {
  readonly name: string;
  readonly family: string;
  readonly points: readonly {
    readonly years: number;
    readonly mean: number;
    readonly se: number;
    readonly fitted: number;
  }[];
  readonly estimates: readonly {
    readonly parameter: string;
    readonly estimate: number;
    /** The scale on which it is normal, with its mean and standard error there. */
    readonly scale: "natural" | "log" | "logit";
    readonly mu: number;
    readonly sigma: number;
  }[];
  /** Correlation of the estimates on their scales. */
  readonly correlation: readonly (readonly number[])[];
  readonly given: Readonly<Record<string, number>>;
  /** Sum of squared distances of the points in standard errors, and how many points there are beyond the parameters. */
  readonly squares: number;
  readonly spare: number;
  readonly source: Source;
}

/** A fitted course as the register shows it. */
export function registerFit(fit: Fit): RegisterFit {
  const { name, family, given, squares, spare, source } = fit;
  const p = fit.names.length;
  return {
    name,
    family,
    points: fit.points.map((point, i) => ({ ...point, fitted: fit.fitted[i]! })),
    estimates: fit.names.map((parameter, j) => ({
      parameter,
      estimate: fromScale(fit.scales[j]!, fit.mu[j]!),
      scale: fit.scales[j]!,
      mu: fit.mu[j]!,
      sigma: fit.sigma[j]!,
    })),
    correlation: fit.names.map((_, j) => fit.correlation.slice(j * p, (j + 1) * p)),
    given,
    squares,
    spare,
    source,
  };
}

/** The points of fitted courses beside their curves. */
export function fitsTable(fits: readonly Fit[]): TextTable {
  const short = (value: number): string => String(Number(value.toPrecision(4)));
  return {
    header: ["Fitted course", "Years", "Reported", "Its error", "Curve"],
    rows: fits.flatMap(({ name, points, fitted }) =>
      points.map(({ years, mean, se }, i) => [name, short(years), short(mean), short(se), short(fitted[i]!)]),
    ),
  };
}
