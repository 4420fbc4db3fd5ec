import type { Kind } from "../schema/model.ts";

const byMean: Readonly<Record<Kind, string>> = {
  probability: "beta",
  share: "beta",
  utility: "beta",
  rate: "gamma",
  cost: "gamma",
  duration: "gamma",
  count: "gamma",
  ratio: "gamma",
  hazard_ratio: "log-normal",
  relative_risk: "log-normal",
  odds_ratio: "log-normal",
  change: "normal",
  number: "normal",
  money: "normal",
  choice: "choice",
};

const byInterval: Readonly<Record<Kind, string>> = {
  ...byMean,
  probability: "logit-normal",
  share: "logit-normal",
  utility: "normal",
  rate: "log-normal",
  cost: "log-normal",
  duration: "log-normal",
  count: "log-normal",
  ratio: "log-normal",
};

/** The family of a kind of input reported as mean and standard error, or as estimate with interval (or quantiles). */
export function familyOf(kind: Kind, reported: "mean" | "estimate"): string {
  return (reported === "mean" ? byMean : byInterval)[kind];
}
