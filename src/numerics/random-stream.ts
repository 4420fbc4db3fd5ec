import seedrandom from "seedrandom";

/** Draws of a component that share one generator. */
export const PAGE_DRAWS = 1024;

const STEPS = 2 ** 52;

/** The next number of a generator, 53 random bits in [0, 1). */
export type Generator = () => number;

/**
 * A generator whose whole sequence is fixed by the seed and the text `about`: Alea keyed by `seed/about`.
 *
 * 53 bits a number; its period is about 2^116. Under one seed, different texts have different keys.
 * Source: Johannes Baagoe's Alea (2010), as packaged in seedrandom 3.0.5.
 */
export function keyedGenerator(seed: string | number, about: string): Generator {
  return seedrandom.alea(`${seed}/${about}`).double;
}

/**
 * A number in [0, 1] moved to the middle of its step of 2^-52: (k + 0.5) 2^-52 with k in 0 ... 2^52 - 1.
 *
 * The result is never 0 or 1, and it and 1 minus it are exact in double precision.
 * @example centred(0) // 1.1102230246251565e-16
 */
export function centred(u: number): number {
  return (Math.min(Math.floor(u * STEPS), STEPS - 1) + 0.5) / STEPS;
}

/**
 * Writes independent uniforms of one component for draws from <= k < to to target[0 ... to - from).
 *
 * Draws are cut into pages of 1,024, and a page's generator is keyed by the text `seed/component/page` (page numbered
 * from 0, all in decimal). So a draw's number depends on the seed, the component's key and the draw's own number alone:
 * not on how many draws there are, how they are cut into blocks, the thread, or the other components. Numbers are as
 * `centred` makes them.
 */
export function fillUniforms(
  seed: string | number,
  component: string,
  from: number,
  to: number,
  target: Float64Array,
): void {
  let k = from;
  while (k < to) {
    const page = Math.floor(k / PAGE_DRAWS);
    const next = keyedGenerator(seed, `${component}/${page}`);
    const start = page * PAGE_DRAWS;
    for (let skipped = start; skipped < k; skipped++) next();
    const end = Math.min(to, start + PAGE_DRAWS);
    for (; k < end; k++) target[k - from] = centred(next());
  }
}
