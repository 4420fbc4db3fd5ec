import { crudeIterations } from "../numerics/crude-incidence.ts";
import type { Graph } from "./graph.ts";

/**
 * The hazard of a crude incidence as ordinary nodes, operation for operation as `crudeHazard` computes it, so that no
 * evaluator needs an operator for it and all give the same bits; NaN where the incidence is out of range.
 */
export function crudeHazardNode(graph: Graph, p: number, others: number, years: number): number {
  const one = graph.constant(1);
  const zero = graph.constant(0);
  const length = graph.constant(years);
  const h = graph.two("multiply", others, length);
  let u = graph.two("subtract", h, graph.one("log1p", graph.one("negate", p)));
  for (let i = 0; i < crudeIterations; i++) {
    const minus = graph.one("negate", u);
    const survived = graph.one("exp", minus);
    const died = graph.one("negate", graph.one("expm1", minus));
    const g = graph.two("divide", u, died);
    const slope = graph.two(
      "divide",
      graph.two("subtract", died, graph.two("multiply", u, survived)),
      graph.two("multiply", died, died),
    );
    const excess = graph.two("subtract", graph.two("subtract", u, h), graph.two("multiply", p, g));
    const step = graph.two("divide", excess, graph.two("subtract", one, graph.two("multiply", p, slope)));
    u = graph.two("subtract", u, step);
  }
  const died = graph.one("negate", graph.one("expm1", graph.one("negate", u)));
  const hazard = graph.two("divide", graph.two("multiply", p, graph.two("divide", u, died)), length);
  const inside = graph.two("and", graph.two("greater", p, zero), graph.two("less", p, one));
  const solved = graph.choose(inside, hazard, graph.constant(Number.NaN));
  return graph.choose(graph.two("equal", p, zero), zero, solved);
}
