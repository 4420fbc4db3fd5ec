/**
 * A probability law of one number. Every kind of law in this folder is a function from its parameters to this.
 *
 * Laws are built once and then asked many times, so what depends on the parameters alone is worked out at the start.
 * A law without spread (sd 0, say) is a point: its quantile is that value for every p.
 */
export interface Distribution {
  /** Kind of law in words: "normal", "log-normal", "beta", ... */
  readonly family: string;
  /** Parameters by name, as given. */
  readonly parameters: Readonly<Record<string, number>>;
  readonly mean: number;
  readonly variance: number;
  /** Ends of the values that can occur; infinite where there is none. */
  readonly lowest: number;
  readonly highest: number;
  /**
   * The value below which the probability is p, for p in [0, 1]; `lowest` at 0, `highest` at 1. Give `upper` = 1 - p
   * where the upper tail is known more exactly than 1 - p can say. Throws where p is not a probability.
   */
  readonly quantile: (p: number, upper?: number) => number;
  /**
   * As `quantile`, to a relative error of 1e-9 and many times sooner: what draws are made with. Absent where `quantile` is
   * quick itself.
   */
  readonly draw?: (p: number, upper?: number) => number;
  /** P(X <= x), with relative accuracy in the lower tail. */
  readonly below: (x: number) => number;
  /** P(X > x), with relative accuracy in the upper tail. */
  readonly above: (x: number) => number;
}
