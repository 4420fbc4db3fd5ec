import type { Expansion } from "./expand.ts";
import type { Program } from "./program.ts";

/**
 * A text that two programs share only if they differ in the values and laws of their inputs alone: same model, settings,
 * population and tables, people moving through the same states at the same instants.
 */
export function structureKey(program: Program, { movements }: Expansion): string {
  const { inputs: _inputs, alternatives: _alternatives, expect: _expect, ...rest } = program.scenario.data;
  const moving = program.analysis.compare.map((s) => ({
    lasts: program.factors.map(({ index, levels }) => levels.map((_, level) => movements[s]!.cyclesOf(index, level))),
    firings: program.groups.map((group) =>
      [...movements[s]!.firings(group.index).values()].map((firing) => [...firing.entries()]),
    ),
  }));
  const tables = program.tables.map(({ x, y }) => [[...x], y.map((values) => [...values])]);
  const keys = program.components.map(({ key }) => key);
  return JSON.stringify([program.model.data, rest, keys, tables, moving]);
}
