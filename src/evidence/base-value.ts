import { expm1 } from "../numerics/exp.ts";
import { log1p } from "../numerics/log.ts";
import { pow } from "../numerics/pow.ts";
import { compensatedSum } from "../numerics/sum.ts";
import type { Kind } from "../schema/model.ts";
import { type BetaPrior, JEFFREYS } from "./counts.ts";
import { fromScale } from "./course-fit.ts";
import { quantileFit } from "./quantile-fit.ts";
import type { Conversion, DistributionOptions, Reported } from "./reported.ts";

/**
 * The base value of a reported value, on the reported scale: x/n for observed shares and rates (the posterior mean where
 * no or all had the event), the mean, the estimate, the fitted median, the estimate of a fitted course, the mean of joint rows, the weightiest choice.
 * A value that is the same as another has none of its own: NaN.
 */
export function baseValue(reported: Reported, kind: Kind, options: DistributionOptions): number {
  switch (reported.form) {
    case "fixed":
      return reported.value;
    case "share": {
      const { events, of } = reported;
      if (events > 0 && events < of) return events / of;
      const { a, b } = betaPrior(options);
      return (events + a) / (of + a + b);
    }
    case "rate":
      return (reported.events > 0 ? reported.events : reported.events + ratePrior(options)) / reported.years;
    case "counts":
      return reported.counts[reported.cell]! / compensatedSum(reported.counts);
    case "mean":
      return reported.mean;
    case "estimate":
      return reported.estimate;
    case "quantiles":
      return quantileFit(kind, reported.at, reported.values, options.family).median;
    case "fitted":
      return fromScale(reported.scale, reported.mu);
    case "draws":
      return compensatedSum(reported.values) / reported.values.length;
    case "chosen":
      return reported.weights.indexOf(Math.max(...reported.weights));
    case "same":
      return Number.NaN;
  }
}

/** Parameters of the beta prior; Jeffreys' 0.5, 0.5 unless the evidence says otherwise. */
export function betaPrior(options: DistributionOptions): BetaPrior {
  const { prior } = options;
  if (prior === "none") return { a: 0, b: 0 };
  if (typeof prior === "number") return { a: prior, b: prior };
  return prior ?? JEFFREYS;
}

/** Shape of the gamma prior of a rate; 0.5 (Jeffreys) unless the evidence says otherwise. */
export function ratePrior(options: DistributionOptions): number {
  const { prior } = options;
  if (prior === "none") return 0;
  return typeof prior === "number" ? prior : 0.5;
}

/** A reported value on the model's scale. */
export function converted(value: number, conversion: Conversion): number {
  switch (conversion.how) {
    case "none":
      return value;
    case "period":
      return -expm1(log1p(-value) * conversion.ratio);
    case "power":
      return pow(value, conversion.exponent);
  }
}
