/** Largest relative difference that is no disagreement. */
export const tolerance = 1e-9;

/** Answers of two programs that should be the same are not. */
export class Disagreement extends Error {}

/**
 * Throws a Disagreement that names the first outcome, `[draw][strategy][outcome]`, that is not the reference's to 1e-9
 * relative, or is not finite. `found` may hold fewer draws than `reference`, but whole ones and at least one.
 */
export function agree(name: string, found: Float64Array, reference: Float64Array, outcomes: readonly string[]): void {
  const perDraw = 4 * outcomes.length;
  if (found.length === 0 || found.length > reference.length || found.length % perDraw !== 0)
    throw new Disagreement(`${name} gives ${found.length} outcomes, of ${reference.length}`);
  for (const [i, value] of found.entries()) {
    const expected = reference[i]!;
    if (Math.abs(value - expected) <= tolerance * Math.abs(expected)) continue;
    const [draw, strategy] = [Math.floor(i / perDraw), Math.floor((i % perDraw) / outcomes.length)];
    const where = `draw ${draw + 1}, strategy ${strategy + 1}, ${outcomes[i % outcomes.length]}`;
    throw new Disagreement(`${name} disagrees: ${where}: ${value} is not ${expected}`);
  }
}
