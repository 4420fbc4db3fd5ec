import { centred, fillUniforms, keyedGenerator } from "../random-stream.ts";
import { type Design, requireRandomisations, rowsOf, USUAL_RANDOMISATIONS } from "./design.ts";

/** Most draws of a run for which the orders of all components are kept. */
export const KEPT_ORDERS = 65_536;

/**
 * Latin hypercubes: within each of R randomisations of n rows, each component visits each of n equal strata of (0, 1)
 * once, in a random order of its own, at a random place within the stratum.
 *
 * Laws: a component's numbers are the same whatever other components there are; they depend on N, so a prefix of a
 * longer run is not the shorter run. Beyond `KEPT_ORDERS` draws every call of `fill` shuffles all R orders of the
 * component, N steps in all, whatever its range: ask for long ranges. Up to there they are kept, 4 N bytes a component.
 * Throws with fewer than 8 randomisations or fewer draws than those.
 * Source: McKay, Beckman, Conover, Technometrics 21 (1979) 239-245; shuffle by Durstenfeld, CACM 7 (1964) 420.
 */
export function stratified(seed: string | number, draws: number, randomisations = USUAL_RANDOMISATIONS): Design {
  requireRandomisations(randomisations, draws);
  const kept = new Map<string, readonly Uint32Array[]>();
  const ordersOf = (component: string): readonly Uint32Array[] => {
    const orders =
      kept.get(component) ??
      Array.from({ length: randomisations }, (_, r) =>
        shuffled(rowsOf(r, randomisations, draws), seed, `${component}/order of randomisation ${r}`),
      );
    if (draws <= KEPT_ORDERS) kept.set(component, orders);
    return orders;
  };
  return {
    name: "stratified",
    draws,
    randomisations,
    fill: (component, _index, from, to, target) => {
      fillUniforms(seed, component, from, to, target);
      for (const [r, order] of ordersOf(component).entries()) {
        const rows = order.length;
        const first = from + ((((r - from) % randomisations) + randomisations) % randomisations);
        for (let k = first; k < to; k += randomisations) {
          const row = Math.floor(k / randomisations);
          target[k - from] = centred((order[row]! + target[k - from]!) / rows);
        }
      }
    },
  };
}

/** The numbers 0 ... n - 1 in the random order of a keyed generator. */
function shuffled(n: number, seed: string | number, about: string): Uint32Array {
  const next = keyedGenerator(seed, about);
  const order = new Uint32Array(n);
  for (let i = 0; i < n; i++) order[i] = i;
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(next() * (i + 1));
    const moved = order[i]!;
    order[i] = order[j]!;
    order[j] = moved;
  }
  return order;
}
