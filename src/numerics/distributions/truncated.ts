import type { Distribution } from "./distribution.ts";
import { quantileMoments } from "./quantile-moments.ts";
import { requireProbability } from "./requirement.ts";

/** A law cut to an interval. */
export interface TruncatedDistribution extends Distribution {
  /** Probability of the whole law outside the interval, in [0, 1). */
  readonly removed: number;
}

/** Probability of the law between low and high, taken from the tails that lose nothing to cancellation. */
export function massBetween(law: Distribution, low: number, high: number): number {
  if (law.lowest === law.highest) return law.lowest >= low && law.lowest <= high ? 1 : 0;
  const outsideBelow = law.below(low);
  const outsideAbove = law.above(high);
  if (outsideBelow > 0.5) return law.above(low) - outsideAbove;
  if (outsideAbove > 0.5) return law.below(high) - outsideBelow;
  return 1 - outsideBelow - outsideAbove;
}

/**
 * The law of X given low <= X <= high; either end may be infinite.
 *
 * p is carried to [F(low), F(high)] and through the law's own quantile function, so a value that was drawn inside the
 * interval moves only a little when little is removed. Mean and variance come from the quantile function numerically
 * (see `quantileMoments`) when first asked for. Throws where nothing of the law lies between: check `massBetween` first.
 * @example truncated(normal(0, 1), 0, Infinity).quantile(0.5) // 0.6744897501960816
 */
export function truncated(law: Distribution, low: number, high: number): TruncatedDistribution {
  const kept = massBetween(law, low, high);
  if (!(kept > 0)) throw new Error(`no mass of ${law.family} between ${low} and ${high}`);
  const parameters = { ...law.parameters, low, high };
  if (law.lowest === law.highest) return { ...law, family: `truncated ${law.family}`, parameters, removed: 0 };
  const cutBelow = law.below(low);
  const cutAbove = law.above(high);
  const lowest = Math.max(low, law.lowest);
  const highest = Math.min(high, law.highest);

  const within =
    (whole: Distribution["quantile"]) =>
    (p: number, upper: number = 1 - p): number => {
      requireProbability(p);
      if (p === 0 || upper === 0) return p === 0 ? lowest : highest;
      const value = whole(Math.min(cutBelow + p * kept, 1), Math.min(cutAbove + upper * kept, 1));
      // rounding of the law's own quantile may step over an end by an ulp
      return Math.min(Math.max(value, lowest), highest);
    };
  const quantile = within(law.quantile);
  const share = (probability: number): number => Math.min(Math.max(probability / kept, 0), 1);
  let moments: ReturnType<typeof quantileMoments> | undefined;
  const momentsOnce = () => {
    moments ??= quantileMoments(quantile);
    return moments;
  };
  return {
    family: `truncated ${law.family}`,
    parameters,
    removed: cutBelow + cutAbove,
    lowest,
    highest,
    quantile,
    ...(law.draw === undefined ? {} : { draw: within(law.draw) }),
    below: (x) => (x < lowest ? 0 : x >= highest ? 1 : share(massBetween(law, low, x))),
    above: (x) => (x < lowest ? 1 : x >= highest ? 0 : share(massBetween(law, x, high))),
    get mean() {
      return momentsOnce().mean;
    },
    get variance() {
      return momentsOnce().variance;
    },
  };
}
