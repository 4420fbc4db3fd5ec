/** What the evaluation of one strategy in one group leaves: everything per starter. */
export interface Traced {
  /** Undiscounted amounts, `[entry * cycles + cycle]`. */
  readonly raw: Float64Array;
  /** Discounted amounts, `[entry * cycles + cycle]`. */
  readonly discounted: Float64Array;
  /** Sum of absolute discounted contributions per entry, the scale of rounding. */
  readonly absolute: Float64Array;
  /** Times an event or branch happened, per path and cycle, `[path * cycles + cycle]`. */
  readonly events: Float64Array;
  /** Resources used in base units, `[resource * cycles + cycle]`. */
  readonly resources: Float64Array;
  /** Opening membership after instants, `[boundary * (states + 1) + state]`, the dead last; boundaries 0 to cycles. */
  readonly membership: Float64Array;
  /** Means of the living, `[curve * (cycles + 1) + boundary]`; NaN where nobody lives. */
  readonly curves: Float64Array;
  /** Undiscounted years lived per cycle. */
  readonly lifeYears: Float64Array;
}
