import { dimensionText, sameDimension } from "../schema/dimension.ts";
import { placeIn } from "../schema/document.ts";
import { nearestNames } from "../schema/nearest.ts";
import { parameterDimension } from "./read-fits.ts";
import type { Reported } from "./reported.ts";
import type { FormContext } from "./shape.ts";

/**
 * A parameter of a fitted course, `course.parameter`, as the value of an input; undefined with a finding, or where the
 * course could not be estimated. Adds unknown-reference, unit-mismatch, inconsistent-keys.
 */
export function fittedValue(text: string, { shape, findings, at, context }: FormContext): Reported | undefined {
  const place = placeIn(context.scenario, [...at, "fitted"]);
  const [name = "", parameter = ""] = text.split(".");
  const fit = context.fits.get(name);
  if (fit === undefined) {
    const { fitNames } = context;
    if (!fitNames.includes(name))
      findings.add(place, "unknown-reference", "fitted course", name, nearestNames(name, fitNames), fitNames);
    return undefined;
  }
  const j = fit.names.indexOf(parameter);
  if (j < 0 || text.split(".").length > 2) {
    const known = fit.names.map((one) => `${name}.${one}`);
    findings.add(place, "unknown-reference", "estimated parameter", text, nearestNames(text, known), known);
    return undefined;
  }
  const dimension = parameterDimension(parameter, fit.dimension);
  if (!sameDimension(dimension, shape.dimension)) {
    findings.add(place, "unit-mismatch", dimensionText(dimension), dimensionText(shape.dimension));
    return undefined;
  }
  if (shape.choices !== null || (shape.kind === "probability" && shape.period !== undefined) || shape.sums) {
    const why = "a parameter of a course is a rate, a share, a change, a ratio or a number";
    findings.add(place, "inconsistent-keys", ["fitted", shape.name], why);
    return undefined;
  }
  const p = fit.names.length;
  // a sum of squares beyond its number of spare points by three of its standard deviations
  const misfit = fit.squares > fit.spare + 3 * Math.sqrt(2 * fit.spare);
  return {
    form: "fitted",
    fit: name,
    parameter,
    scale: fit.scales[j]!,
    mu: fit.mu[j]!,
    sigma: fit.sigma[j]!,
    correlation: Object.fromEntries(fit.names.map((other, i) => [other, fit.correlation[j * p + i]!])),
    warnings:
      fit.spare > 0 && misfit
        ? [
            `the points of ${name} lie off the curve by more than their errors: squares sum to ${Number(fit.squares.toPrecision(3))} where ${fit.spare} are expected`,
          ]
        : [],
  };
}
