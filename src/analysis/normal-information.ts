import { unitNormalLoss } from "./unit-normal-loss.ts";

/** What is believed about the incremental net benefit of one option against another, as a normal law, in money. */
export interface NormalBelief {
  readonly mean: number;
  /** Standard deviation of the belief, 0 or more. */
  readonly sd: number;
}

/**
 * Expected value of perfect information about a choice between two options, per person, in closed form.
 *
 * 0 when nothing is uncertain. Both options remain open and switching costs nothing.
 *
 * Source: Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961 (from memory).
 * @example normalPerfectInformation({ mean: 0, sd: 1 }) // 0.3989422804014327
 */
export function normalPerfectInformation({ mean, sd }: NormalBelief): number {
  if (!(sd >= 0)) throw new Error(`the sd of a belief is ${sd}; it must be 0 or more`);
  return sd === 0 ? 0 : sd * unitNormalLoss(Math.abs(mean) / sd);
}

/**
 * Expected value of a study of `n` pairs, per person, in closed form: that of perfect information about the mean the
 * study would lead to, whose sd is `s0 sqrt(s0^2 / (s0^2 + sigma^2 / n))`.
 *
 * Rises with n from 0 at `n = 0` towards `normalPerfectInformation`. No delay, no cost of the study, no person lost to
 * it.
 * @param pairSd sigma, the sd of the incremental net benefit between one person on each option, in money, above 0
 * @param n persons on each option, 0 or more
 *
 * Source: Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961; Willan and Pinto, Stat Med 2005 (from
 * memory).
 * @example normalSampleInformation({ mean: 500, sd: 2000 }, 10_000, 0) // 0
 */
export function normalSampleInformation({ mean, sd }: NormalBelief, pairSd: number, n: number): number {
  if (!(pairSd > 0) || !(n >= 0)) throw new Error(`a study of ${n} pairs with sd ${pairSd} tells nothing`);
  // The share of the belief's variance that the study resolves; divisions by 0 come out as 0 learned, as they should.
  const learned = 1 / (1 + (pairSd * pairSd) / (n * sd * sd));
  return normalPerfectInformation({ mean, sd: sd * Math.sqrt(learned) });
}
