/**
 * Net monetary benefit `lambda E - C`, in money.
 * @param threshold lambda, money per unit of effect, 0 or more
 * @example netMonetaryBenefit(30_000, 100, 2) // 59900
 */
export function netMonetaryBenefit(threshold: number, cost: number, effect: number): number {
  return threshold * effect - cost;
}

/**
 * Net health benefit `E - C / lambda`, in units of effect.
 * @param threshold lambda, money per unit of effect, above 0: at 0 no amount of health buys back money, so it is refused
 * @example netHealthBenefit(20_000, 10_000, 2) // 1.5
 */
export function netHealthBenefit(threshold: number, cost: number, effect: number): number {
  if (!(threshold > 0)) throw new Error(`net health benefit needs a threshold above 0, found ${threshold}`);
  return effect - cost / threshold;
}
