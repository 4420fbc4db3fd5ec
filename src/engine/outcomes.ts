/** What comes of rows, per starter, discounted, in the scenario's perspective. `s` counts compared strategies. */
export interface Outcomes {
  readonly rows: number;
  readonly strategies: number;
  readonly accounts: number;
  /** Groups mixed by share in file order, `[(row * strategies + s) * accounts + account]`. */
  readonly totals: Float64Array;
  /** Undiscounted life years, `[row * strategies + s]`. */
  readonly lifeYears: Float64Array;
  /** `[((row * strategies + s) * groups + group) * accounts + account]`, or null. */
  readonly byGroup: Float64Array | null;
}
