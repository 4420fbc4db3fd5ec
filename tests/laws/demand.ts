/** Throws unless a law holds; `what` is only made where it does not. */
export function demand(holds: boolean, what: () => string): void {
  if (!holds) throw new Error(what());
}

/** Throws unless two lists agree bit for bit. */
export function demandSameBits(found: Float64Array, expected: Float64Array, what: string): void {
  demand(found.length === expected.length, () => `${what}: ${found.length} numbers instead of ${expected.length}`);
  for (let i = 0; i < found.length; i++) {
    if (!Object.is(found[i], expected[i])) throw new Error(`${what}: ${found[i]} instead of ${expected[i]} at ${i}`);
  }
}

/** Throws unless a number is another one up to `tolerance` of `scale`. */
export function demandNear(found: number, expected: number, scale: number, what: string, tolerance = 1e-12): void {
  demand(Math.abs(found - expected) <= tolerance * scale, () => `${what}: ${found} instead of ${expected}`);
}
