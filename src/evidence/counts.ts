import { beta } from "../numerics/distributions/beta.ts";
import type { Distribution } from "../numerics/distributions/distribution.ts";
import { expm1 } from "../numerics/exp.ts";
import { log } from "../numerics/log.ts";

/** Shapes of a beta law before any person is seen. */
export interface BetaPrior {
  readonly a: number;
  readonly b: number;
}

/** Jeffreys' prior, the one used unless evidence says otherwise. */
export const JEFFREYS: BetaPrior = { a: 0.5, b: 0.5 };

/** Every probability equally likely. */
export const UNIFORM: BetaPrior = { a: 1, b: 1 };

/**
 * The law of a probability after `events` of `of` persons: beta(events + a, of - events + b); a point at 0 or 1 where
 * one shape is 0 (no events and no prior).
 * @example probabilityAfter(0, 30, UNIFORM).mean // 0.03125
 */
export function probabilityAfter(events: number, of: number, prior: BetaPrior = JEFFREYS): Distribution {
  if (!(events >= 0 && of >= events && of > 0)) throw new Error(`${events} events of ${of} persons`);
  return beta(events + prior.a, of - events + prior.b);
}

/**
 * Exact upper bound of a probability after no events in `of` persons: the p at which no event has probability
 * 1 - confidence, 1 - (1 - confidence)^(1 / of). One-sided 95% unless told; 0.975 gives the upper end of the two-sided
 * 95% interval.
 * Source: Clopper and Pearson, Biometrika 26 (1934) 404-413; Hanley and Lippman-Hand, JAMA 249 (1983) 1743-1745.
 * @example zeroEventsUpperBound(30) // 0.09503385285530411
 */
export function zeroEventsUpperBound(of: number, confidence = 0.95): number {
  if (!(of > 0)) throw new Error(`no events of ${of} persons`);
  return -expm1(log(1 - confidence) / of);
}

/**
 * The rule of three: 3 / of, the well-known approximation to `zeroEventsUpperBound(of)`, since -ln 0.05 is nearly 3.
 * Source: Hanley and Lippman-Hand, JAMA 249 (1983) 1743-1745, from memory.
 */
export function ruleOfThree(of: number): number {
  return 3 / of;
}

/**
 * Exact (Clopper-Pearson) central interval of a probability after `events` of `of` persons, from the quantiles of
 * beta(events, of - events + 1) and beta(events + 1, of - events). With no events the lower end is 0, with only events
 * the upper end is 1.
 * Source: Clopper and Pearson, Biometrika 26 (1934) 404-413.
 */
export function exactInterval(events: number, of: number, level = 0.95): readonly [number, number] {
  if (!(events >= 0 && of >= events && of > 0)) throw new Error(`${events} events of ${of} persons`);
  const tail = (1 - level) / 2;
  return [
    events === 0 ? 0 : beta(events, of - events + 1).quantile(tail),
    events === of ? 1 : beta(events + 1, of - events).quantile(1 - tail, tail),
  ];
}
