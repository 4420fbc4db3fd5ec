import fc, { type GeneratorValue } from "fast-check";

// one builder per count, so that the generator finds each by identity
const builders = new Map<number, () => fc.Arbitrary<number>>();

function below(count: number): () => fc.Arbitrary<number> {
  const known = builders.get(count) ?? (() => fc.noBias(fc.nat(count - 1)));
  builders.set(count, known);
  return known;
}

/** The random picks of one case. They shrink towards the first of a list, towards `false` and towards the low end. */
export class Dice {
  private readonly pick: GeneratorValue;

  constructor(pick: GeneratorValue) {
    this.pick = pick;
  }

  /** A whole number from 0 to `count - 1`. */
  below(count: number): number {
    return count <= 1 ? 0 : this.pick(below(count));
  }

  /** A whole number, both ends included. */
  whole(low: number, high: number): number {
    return low + this.below(high - low + 1);
  }

  /** True in `percent` of cases. */
  chance(percent: number): boolean {
    return this.below(100) >= 100 - percent;
  }

  /** One of a list that is not empty. */
  one<T>(list: readonly T[]): T {
    return list[this.below(list.length)]!;
  }

  /** Some of a list in their order, from `least` to `most` of them. */
  some<T>(list: readonly T[], least: number, most: number): readonly T[] {
    const wanted = this.whole(Math.min(least, list.length), Math.min(most, list.length));
    const left = list.map((_, i) => i);
    while (left.length > wanted) left.splice(this.below(left.length), 1);
    return left.map((i) => list[i]!);
  }

  /** What one of several ways gives. */
  way<T>(...ways: readonly (() => T)[]): T {
    return this.one(ways)();
  }

  /** A number of three digits. */
  number(low: number, high: number): number {
    return Number((low + ((high - low) * this.below(1001)) / 1000).toPrecision(3));
  }
}
