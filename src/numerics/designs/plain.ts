import { fillUniforms } from "../random-stream.ts";
import type { Design } from "./design.ts";

/**
 * Independent uniforms, straight from the random streams.
 *
 * Laws: the first n draws are the same whatever N is, and a component's numbers the same whatever other components
 * there are.
 */
export function plain(seed: string | number, draws: number): Design {
  return {
    name: "plain",
    draws,
    randomisations: 1,
    fill: (component, _index, from, to, target) => fillUniforms(seed, component, from, to, target),
  };
}
