import { ranges } from "../graph.ts";
import type { Code } from "./code.ts";
import type { Ground, Pointers } from "./ground.ts";
import type { Part, Stages } from "./stages.ts";
import { Sums } from "./sums.ts";
import { Values } from "./values.ts";

/** Emits what a part does in one cycle; returns a local with the lanes where a check failed, if there are checks. */
export function emitBody(
  code: Code,
  ground: Ground,
  pointers: Pointers,
  stages: Stages,
  part: Part,
): number | undefined {
  const values = new Values(code, ground, pointers, stages, part);
  let note: number | undefined;
  const check = (number: number, [low, high]: readonly [number, number]): void => {
    const range = ground.lens.range(ground.lens.node(number));
    const below = range.nan || range.low < low;
    const above = range.high > high;
    note ??= code.local("v128");
    const value = code.local("v128");
    values.push(number);
    code.set(value);
    if (below) code.get(value).constant(low).lanes("greaterOrEqual");
    if (above) code.get(value).constant(high).lanes("lessOrEqual");
    if (below && above) code.lanes("and");
    code.lanes("not").get(note).lanes("or").set(note);
  };
  for (const task of part.tasks) {
    if (task.does === "keep") values.store(task.at, () => values.push(task.node));
    if (task.does === "offer" && values.isHere(ground.lens.node(task.node))) {
      values.push(task.node);
      code.drop();
    }
    if (task.does === "check") check(task.node, ranges[task.demand]);
  }
  new Sums(code, ground, pointers, values).emit(part.tasks);
  return note;
}
