/**
 * The type-7 quantile of values already in ascending order.
 *
 * @param sorted - ascending, at least one; infinities are allowed, NaN is not looked for
 * @param probability - from 0 (the least value) to 1 (the greatest)
 *
 * Linear between the order statistics at (n - 1) p; where two neighbours are equal, infinite ones included, that value.
 * Throws on an empty list or a probability out of range.
 *
 * Source: Hyndman and Fan, Am Stat 1996;50:361-365, definition 7.
 *
 * @example
 * quantileSorted([1, 2, 3, 4], 0.5); // 2.5
 */
export function quantileSorted(sorted: ArrayLike<number>, probability: number): number {
  const count = sorted.length;
  if (count === 0) throw new Error("quantile of an empty list");
  if (!(probability >= 0 && probability <= 1)) throw new Error(`probability out of range: ${probability}`);
  const position = (count - 1) * probability;
  const index = Math.floor(position);
  const below = sorted[index]!;
  const share = position - index;
  if (share === 0) return below;
  const above = sorted[index + 1]!;
  return below === above ? below : below + share * (above - below);
}

/** Where values are sorted, one list after another: copies of a million draws each would pile up before they are cleared. */
let room = new Float64Array(0);

/**
 * Type-7 quantiles of values in any order, one for each probability; the values are copied and sorted once.
 *
 * Throws if a value is NaN, and where `quantileSorted` does.
 *
 * Source: as `quantileSorted`.
 *
 * @example
 * quantiles([3, 1, 2], [0, 0.5, 1]); // [1, 2, 3]
 */
export function quantiles(values: ArrayLike<number>, probabilities: readonly number[]): number[] {
  if (room.length < values.length) room = new Float64Array(values.length);
  const sorted = room.subarray(0, values.length);
  sorted.set(values);
  sorted.sort();
  // Typed arrays sort NaN to the end.
  if (Number.isNaN(sorted.at(-1))) throw new Error("quantile of NaN");
  return probabilities.map((probability) => quantileSorted(sorted, probability));
}
