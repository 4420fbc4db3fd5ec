/**
 * A running compensated sum (Neumaier's variant of Kahan's), which allocates nothing after construction.
 *
 * The error is about one unit in the last place of the result plus n u^2 times the sum of absolute values (u = 2^-53),
 * however the terms cancel. The order of the terms is the order of `add`, so equal calls give equal bits.
 *
 * Infinite terms behave as in plain addition: one infinity is the total, opposite ones give NaN. So does a finite sum
 * that overflows on the way: from there on the total is infinite, even if later terms would bring it back.
 *
 * Source: Neumaier, Z Angew Math Mech 1974;54:39-51.
 *
 * @example
 * const sum = new CompensatedSum();
 * for (const term of [1e16, 1, -1e16]) sum.add(term);
 * sum.total(); // 1
 */
export class CompensatedSum {
  #sum = 0;
  #lost = 0;

  /** Empties the sum for the next use. */
  reset(): void {
    this.#sum = 0;
    this.#lost = 0;
  }

  /** Adds one term. */
  add(term: number): void {
    const sum = this.#sum;
    const next = sum + term;
    this.#lost += Math.abs(sum) >= Math.abs(term) ? sum - next + term : term - next + sum;
    this.#sum = next;
  }

  /** The sum so far; 0 if nothing was added. More terms may follow. */
  total(): number {
    // With an infinite sum the lost part is NaN and means nothing.
    return Number.isFinite(this.#sum) ? this.#sum + this.#lost : this.#sum;
  }
}

/**
 * The compensated sum of values in their order; 0 for an empty list.
 *
 * Accuracy and infinities as for `CompensatedSum`, whose bits it gives.
 *
 * Source: Neumaier, Z Angew Math Mech 1974;54:39-51.
 *
 * @example
 * compensatedSum([1e16, 1, -1e16]); // 1
 */
export function compensatedSum(values: ArrayLike<number>): number {
  let sum = 0;
  let lost = 0;
  for (let i = 0; i < values.length; i++) {
    const term = values[i]!;
    const next = sum + term;
    lost += Math.abs(sum) >= Math.abs(term) ? sum - next + term : term - next + sum;
    sum = next;
  }
  return Number.isFinite(sum) ? sum + lost : sum;
}
