import type { Alike } from "../compile/alike.ts";

/** Counts moments; values that vary with time hold until it moves on. */
export interface Turn {
  turn: number;
}

/** Writes the values of the present moment, one for each group; lanes that are alike have the same. */
export type Compute = (values: Float64Array, alike: Alike) => void;

/**
 * An expression once row, strategy and standing are known: its values for several groups side by side, kept as long as
 * they hold. The memory of the values is used again at the next moment.
 */
export class Asked {
  /** Tells it from others of the same row and strategy. */
  readonly number: number;
  /** False where the values are the same at all times. */
  readonly varies: boolean;
  /** By lane, the first one whose value is found in the same way from the same. */
  readonly alike: Alike;
  private readonly turns: Turn;
  private readonly values: Float64Array;
  private readonly compute: Compute;
  private keptUntil = -1;

  constructor(number: number, turns: Turn, alike: Alike, varies: boolean, compute: Compute) {
    this.number = number;
    this.turns = turns;
    this.varies = varies;
    this.alike = alike;
    this.values = new Float64Array(alike.length);
    this.compute = compute;
  }

  /** True once it is known for all times. */
  get isKnown(): boolean {
    return this.keptUntil === Number.MAX_SAFE_INTEGER;
  }

  /** The values now, by group. Throws table-range. */
  now(): Float64Array {
    if (this.keptUntil < this.turns.turn) {
      this.compute(this.values, this.alike);
      this.keptUntil = this.varies ? this.turns.turn : Number.MAX_SAFE_INTEGER;
    }
    return this.values;
  }
}
