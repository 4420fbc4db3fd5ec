/** A way of choosing the uniforms of a probabilistic analysis: one in (0, 1) for each component and draw. */
export interface Design {
  readonly name: "plain" | "stratified" | "quasi";
  /** N, the number of draws. */
  readonly draws: number;
  /**
   * R, the number of independent randomisations the draws are dealt to in turn: draw k belongs to k mod R, as its row
   * floor(k / R). 1 for the plain design, where every draw is independent anyway.
   */
  readonly randomisations: number;
  /**
   * Writes the uniforms of a component for draws from <= k < to to target[0 ... to - from). `component` is its key, a
   * text unique among components and the same whatever others there are (`input[strategy][cell]`); `index` its place
   * among them from 0, which only the quasi design looks at. The numbers do not depend on how draws are cut into ranges.
   */
  readonly fill: (component: string, index: number, from: number, to: number, target: Float64Array) => void;
}

/** Fewest randomisations from which a standard error is taken. */
const LEAST_RANDOMISATIONS = 8;

/** Number of randomisations unless told otherwise: the standard error then has 15 degrees of freedom. */
export const USUAL_RANDOMISATIONS = 16;

/** Throws unless there are at least 8 randomisations and a draw for each. */
export function requireRandomisations(randomisations: number, draws: number): void {
  if (!Number.isInteger(randomisations) || randomisations < LEAST_RANDOMISATIONS || draws < randomisations) {
    throw new Error(
      `${randomisations} randomisations of ${draws} draws: needs at least ${LEAST_RANDOMISATIONS}, a draw for each`,
    );
  }
}

/** Rows of randomisation r: draws r, r + R, r + 2 R, ... below N. */
export function rowsOf(randomisation: number, randomisations: number, draws: number): number {
  return Math.ceil((draws - randomisation) / randomisations);
}
