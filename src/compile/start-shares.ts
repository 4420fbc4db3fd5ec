import type { Demands } from "./demands.ts";
import type { Expansion } from "./expand.ts";
import { whenAtStart } from "./instances.ts";
import type { Start } from "./plan.ts";
import type { Program } from "./program.ts";

/** The shares of the joint states at the start; factors are independent. */
export function startShares(program: Program, expansion: Expansion, demands: Demands): Start {
  const { graph } = demands;
  const when = whenAtStart(graph);
  const nobody = { levels: program.factors.map(() => 0), clocks: program.factors.map(() => 0) };
  const byFactor = program.factors.map((factor) => {
    const list = factor.start.map((share) =>
      share === null ? graph.constant(0) : demands.value("chance", share, nobody, when),
    );
    demands.node(
      "whole",
      list.slice(1).reduce((sum, share) => graph.two("add", sum, share), list[0]!),
    );
    return list;
  });
  const shares = expansion.states.flatMap(({ levels, clocks }, state) => {
    if (clocks.some((clock) => clock > 0)) return [];
    const coefficient = levels.reduce(
      (product, level, f) => graph.two("multiply", product, byFactor[f]![level]!),
      graph.constant(1),
    );
    return graph.valueOf(coefficient) === 0 || levels.some((level, f) => graph.valueOf(byFactor[f]![level]!) === 0)
      ? []
      : [{ state, coefficient }];
  });
  const everybody = { state: null, either: false, via: null };
  return { shares, checks: demands.taken().map(({ guard }) => ({ guard, places: [everybody] })) };
}
