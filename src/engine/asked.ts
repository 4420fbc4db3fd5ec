/** Counts moments; values that vary with time hold until it moves on. */
export interface Turn {
  turn: number;
}

/**
 * An expression once row, strategy and standing are known: its values for several groups side by side, kept as long as
 * they hold. The memory of the values is used again at the next moment.
 */
export class Asked {
  /** Tells it from others of the same row and strategy. */
  readonly number: number;
  /** False where the values are the same at all times. */
  readonly varies: boolean;
  private readonly turns: Turn;
  private readonly values: Float64Array;
  private readonly compute: (values: Float64Array) => void;
  private keptUntil = -1;

  /** `compute` writes the values of the present moment, one for each of `lanes` groups. */
  constructor(number: number, turns: Turn, lanes: number, varies: boolean, compute: (values: Float64Array) => void) {
    this.number = number;
    this.turns = turns;
    this.varies = varies;
    this.values = new Float64Array(lanes);
    this.compute = compute;
  }

  /** True once it is known for all times. */
  get isKnown(): boolean {
    return this.keptUntil === Number.MAX_SAFE_INTEGER;
  }

  /** The values now, by group. Throws table-range. */
  now(): Float64Array {
    if (this.keptUntil < this.turns.turn) {
      this.compute(this.values);
      this.keptUntil = this.varies ? this.turns.turn : Number.MAX_SAFE_INTEGER;
    }
    return this.values;
  }
}
