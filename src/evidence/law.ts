import { beta } from "../numerics/distributions/beta.ts";
import type { Distribution } from "../numerics/distributions/distribution.ts";
import { gamma } from "../numerics/distributions/gamma.ts";
import { logNormal } from "../numerics/distributions/log-normal.ts";
import { logitNormal } from "../numerics/distributions/logit-normal.ts";
import { normal } from "../numerics/distributions/normal.ts";
import { point } from "../numerics/distributions/point.ts";
import { reflected } from "../numerics/distributions/reflected.ts";
import { studentT } from "../numerics/distributions/student-t.ts";
import { massBetween, truncated } from "../numerics/distributions/truncated.ts";
import { uniform } from "../numerics/distributions/uniform.ts";
import { log, log1p } from "../numerics/log.ts";
import { logit } from "../numerics/special/logit.ts";
import { normalQuantile } from "../numerics/special/normal-quantile.ts";
import type { Kind } from "../schema/model.ts";
import { betaPrior, ratePrior } from "./base-value.ts";
import { familyOf } from "./family.ts";
import { quantileFit } from "./quantile-fit.ts";
import type { DistributionOptions, Reported } from "./reported.ts";

/** A law built from evidence, or why it cannot be; with what the author should know. */
export type LawResult =
  | { readonly law: Distribution; readonly warnings: readonly string[] }
  | { readonly problem: string; readonly instead: string };

/** What is declared of a value beside its evidence. */
export interface LawContext {
  readonly kind: Kind;
  /** True for a utility per unit of something, a slope rather than a level. */
  readonly isSlope: boolean;
}

const refused = (problem: string, instead: string): LawResult => ({ problem, instead });

/**
 * The law of a value reported with spread, on the reported scale; by the evidence table of models/README.md.
 * Forms without a law of their own (fixed, counts, draws, chosen, same_as) are a mistake of the caller.
 * Source: Briggs, Claxton, Sculpher, Decision Modelling for Health Economic Evaluation, 2006, ch. 4 (from memory).
 */
export function lawOf(reported: Reported, context: LawContext, options: DistributionOptions): LawResult {
  const whole = untruncated(reported, context, options);
  if ("problem" in whole || options.range === undefined) return whole;
  const [low, high] = options.range;
  const kept = massBetween(whole.law, low, high);
  const removed = 1 - kept;
  if (!(removed < 0.05)) {
    return refused(
      `the range cuts ${percent(removed)} of the distribution off`,
      "widen the range, or give a distribution that fits it",
    );
  }
  const warnings =
    removed > 0.001
      ? [...whole.warnings, `the range cuts ${percent(removed)} of the distribution off`]
      : whole.warnings;
  return { law: truncated(whole.law, low, high), warnings };
}

const percent = (share: number): string => `${Number((100 * share).toPrecision(2))}%`;

function untruncated(reported: Reported, context: LawContext, options: DistributionOptions): LawResult {
  switch (reported.form) {
    case "share": {
      const { a, b } = betaPrior(options);
      const [yes, no] = [reported.events + a, reported.of - reported.events + b];
      if (!(yes > 0 && no > 0))
        return refused("no events, or only events, without a prior", "drop prior: none; the posterior needs one here");
      return { law: beta(yes, no), warnings: [] };
    }
    case "rate": {
      const shape = reported.events + ratePrior(options);
      if (!(shape > 0)) return refused("no events without a prior", "drop prior: none; the posterior needs one here");
      return { law: gamma(shape, 1 / reported.years), warnings: [] };
    }
    case "mean":
      return fromMean(reported.mean, reported.se, reported.n, context, options);
    case "estimate":
      return fromInterval(reported, context, options);
    case "quantiles": {
      const fit = quantileFit(context.kind, reported.at, reported.values, options.family);
      if (!Number.isFinite(fit.mu) || !(fit.sigma > 0))
        return refused(
          "the quantiles fit no distribution of this kind",
          "check their range; logarithms need values above 0, shares values below 1",
        );
      const law =
        fit.family === "log-normal"
          ? logNormal(fit.mu, fit.sigma)
          : fit.family === "logit-normal"
            ? logitNormal(fit.mu, fit.sigma)
            : normal(fit.mu, fit.sigma);
      const scale = Math.abs(reported.values.at(-1)! - reported.values[0]!);
      return {
        law,
        warnings:
          fit.residual > 0.05 * scale
            ? [`the fitted quantiles miss the reported ones by up to ${Number(fit.residual.toPrecision(3))}`]
            : [],
      };
    }
    case "fitted": {
      const { scale, mu, sigma, warnings } = reported;
      const law =
        scale === "log" ? logNormal(mu, sigma) : scale === "logit" ? logitNormal(mu, sigma) : normal(mu, sigma);
      return { law, warnings };
    }
    default:
      throw new Error(`a value given as ${reported.form} has no law of its own`);
  }
}

function fromMean(
  mean: number,
  se: number,
  n: number | null,
  context: LawContext,
  options: DistributionOptions,
): LawResult {
  if (se === 0) return { law: point(mean), warnings: [] };
  if (options.small === "t") {
    if (n === null) return refused("small: t without n", "give observed: { mean, sd, n }");
    return { law: studentT(n - 1, mean, se), warnings: [] };
  }
  switch (options.family ?? meanFamily(mean, context)) {
    case "beta": {
      const size = (mean * (1 - mean)) / (se * se) - 1;
      if (!(mean > 0 && mean < 1 && size > 0))
        return refused(
          `no beta distribution has mean ${mean} and standard error ${se}`,
          "the mean must lie between 0 and 1 and the square of the error below mean times one minus mean",
        );
      return { law: beta(mean * size, (1 - mean) * size), warnings: [] };
    }
    case "gamma":
      if (!(mean > 0))
        return refused(`no gamma distribution has mean ${mean}`, "give a mean above 0, or distribution: normal");
      return { law: gamma((mean * mean) / (se * se), (se * se) / mean), warnings: [] };
    case "one-minus-gamma": {
      const gap = 1 - mean;
      if (!(gap > 0)) return refused(`no utility below 1 has mean ${mean}`, "give a mean below 1");
      return { law: reflected(gamma((gap * gap) / (se * se), (se * se) / gap), 1), warnings: [] };
    }
    case "log-normal": {
      if (!(mean > 0)) return refused(`no log-normal distribution has mean ${mean}`, "give a mean above 0");
      const variance = log1p((se / mean) * (se / mean));
      return { law: logNormal(log(mean) - variance / 2, Math.sqrt(variance)), warnings: [] };
    }
    case "uniform": {
      const half = se * Math.sqrt(3);
      return { law: uniform(mean - half, mean + half), warnings: [] };
    }
    case "t":
      return refused("distribution: t without n", "give observed: { mean, sd, n } and small: t");
    case "logit-normal":
      return refused("distribution: logit-normal from a mean", "give an estimate with its interval");
    default:
      return { law: normal(mean, se), warnings: [] };
  }
}

function meanFamily(mean: number, context: LawContext): string {
  if (context.kind !== "utility") return familyOf(context.kind, "mean");
  if (context.isSlope) return mean > 0 ? "gamma" : "normal";
  return mean > 0 && mean < 1 ? "beta" : "one-minus-gamma";
}

function fromInterval(
  reported: Reported & { form: "estimate" },
  context: LawContext,
  options: DistributionOptions,
): LawResult {
  const { estimate, low, high, level } = reported;
  const z = normalQuantile(1 - (1 - level) / 2);
  const family = options.family ?? familyOf(context.kind, "estimate");
  const offCentre = (middle: number, width: number, at: number): readonly string[] =>
    Math.abs(at - middle) > 0.05 * width
      ? [
          `the estimate lies off the centre of its interval by ${percent(Math.abs(at - middle) / width)} of the interval's width`,
        ]
      : [];
  if (family === "log-normal") {
    if (!(low > 0))
      return refused(`an interval from ${low} has no logarithm`, "give bounds above 0, or distribution: normal");
    const [l, u, m] = [log(low), log(high), log(estimate)];
    const sigma = (u - l) / (2 * z);
    const mu = options.center === "mean" ? m - (sigma * sigma) / 2 : m;
    return { law: logNormal(mu, sigma), warnings: offCentre((l + u) / 2, u - l, m) };
  }
  if (family === "logit-normal") {
    if (!(low > 0 && high < 1))
      return refused(
        `an interval from ${low} to ${high} has no logit`,
        "give bounds between 0 and 1, or observed: { events, of }",
      );
    const [l, u, m] = [logit(low), logit(high), logit(estimate)];
    return { law: logitNormal(m, (u - l) / (2 * z)), warnings: offCentre((l + u) / 2, u - l, m) };
  }
  const se = (high - low) / (2 * z);
  const warnings = offCentre((low + high) / 2, high - low, estimate);
  if (family === "uniform") return { law: uniform(low, high), warnings };
  const law =
    family === "normal"
      ? { law: normal(estimate, se), warnings: [] }
      : fromMean(estimate, se, null, context, { ...options, family });
  return "problem" in law ? law : { law: law.law, warnings };
}
