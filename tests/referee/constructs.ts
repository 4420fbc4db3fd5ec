import { type Bound, children, type Key } from "../../src/compile/bound.ts";
import { firings } from "../../src/compile/instants.ts";
import type { Branch, Program } from "../../src/compile/program.ts";
import { expressionsOf } from "./expressions.ts";

/** Every construct that the compiled graph and plan must know. */
export const constructs: readonly string[] = [
  ...["number", "time", "cycle", "since", "mark", "attribute", "test", "input", "formula", "table", "if"],
  ...["negate", "exp", "log", "sqrt", "abs", "floor", "expm1", "log1p", "not"],
  ...["add", "subtract", "multiply", "divide", "power", "less", "less_or_equal", "greater", "greater_or_equal"],
  ...["and", "or", "min", "max"],
  ...["key by factor", "key by attribute", "key by choice", "key by cell"],
  ...["input of a strategy", "formula of a strategy", "formula of an earlier time", "alternatives"],
  ...["table step", "table linear", "table monotone", "table beyond last", "table beyond error"],
  ...["instant", "instant repeated", "instants with shares", "instant by group", "instant with a chance"],
  ...["rate", "rate that moves nobody", "rate with a branch that moves nobody", "crude", "crude with branches"],
  ...["chance", "chance that moves nobody", "branches without a chance", "ends", "after", "cases"],
  ...[
    "nested branches",
    "rest",
    "branches without rest",
    "death",
    "move to the same level",
    "uses",
    "uses in a branch",
  ],
  ...["level that lasts", "level with a clock", "start shares", "no factors"],
  ...["line over time", "line on an event", "line on an event while", "count", "resource", "bearer left out"],
  ...["counting middle", "counting start", "counting end", "counting trapezoid", "counting boundary"],
  ...["events at start", "events at middle", "events at end", "stepped discount", "whole years", "no discount"],
  ...["several groups", "evaluate at start", "evaluate at middle"],
];

/** The constructs a program uses. */
export function constructsOf(program: Program): ReadonlySet<string> {
  const used = new Set<string>();
  const mark = (name: string, when = true): void => {
    if (when) used.add(name);
  };
  const key = (one: Key | null): void => mark(`key by ${one?.by}`, one !== null);
  const expression = (node: Bound): void => {
    mark(node.op);
    if (node.op === "test") key(node.key);
    if (node.op === "input") {
      key(node.key);
      mark("input of a strategy", node.strategy !== null);
    }
    if (node.op === "formula") {
      mark("formula of a strategy", node.strategy !== null);
      mark("formula of an earlier time", node.lag !== null);
    }
    if (node.op === "table") {
      node.keys.forEach(key);
      const { between, beyond } = program.tables[node.table]!;
      mark(`table ${between}`);
      mark(`table beyond ${beyond}`);
    }
    children(node).forEach(expression);
  };
  expressionsOf(program).forEach(expression);
  const branch = (node: Branch, depth: number): void => {
    mark("nested branches", depth > 1);
    mark("death", node.move === "dead");
    mark("uses", depth === 0 && node.uses.length > 0);
    mark("uses in a branch", depth > 0 && node.uses.length > 0);
    mark("rest", node.rest);
    mark("branches without rest", node.children.length > 0 && !node.children.some(({ rest }) => rest));
    for (const child of node.children) branch(child, depth + 1);
  };
  for (const form of program.events) {
    const { timing, root, moves } = form;
    branch(root, 0);
    mark(timing.when);
    if (timing.when === "instant") {
      mark("instant repeated", timing.every !== null);
      mark("instants with shares", timing.shares !== null);
      mark("instant with a chance", root.chance !== null);
    }
    const still = (node: Branch): boolean =>
      node.children.length === 0 ? node.move === null : node.children.some(still);
    mark("rate that moves nobody", timing.when === "rate" && !moves);
    mark("rate with a branch that moves nobody", timing.when === "rate" && moves && still(root));
    mark("crude with branches", timing.when === "crude" && root.children.length > 0);
    mark("chance that moves nobody", timing.when === "chance" && !moves);
    mark("branches without a chance", timing.when === "chance" && root.chance === null);
    mark("cases", program.events.filter(({ event }) => event === form.event).length > 1);
    const levels = (node: Branch): readonly (readonly [number, number])[] =>
      (node.move === null || node.move === "dead" ? [] : node.move).flatMap((level, f) =>
        level === null ? [] : [[f, level] as const],
      );
    mark(
      "move to the same level",
      levels(root).some(([f, level]) => form.match[f]?.[level]),
    );
  }
  for (const s of program.analysis.compare) {
    const maps = program.groups.map((group) => firings(program, s, group.index));
    for (const [form, cycles] of maps[0]!)
      mark(
        "instant by group",
        maps.some((map) => [...map.get(form)!.keys()].join() !== [...cycles.keys()].join()),
      );
  }
  for (const { levels, start } of program.factors) {
    for (const level of levels) {
      mark("level that lasts", level.lastsNode !== null);
      mark("level with a clock", level.cap > 0);
    }
    mark("start shares", start.filter((share) => share !== null).length > 1);
  }
  mark("no factors", program.factors.length === 0);
  for (const posting of program.postings) {
    mark("line over time", posting.by === "time");
    mark("line on an event", posting.by === "event");
    mark("line on an event while", posting.by === "event" && posting.match.some((one) => one !== null));
    mark("resource", posting.by === "resource");
  }
  mark(
    "count",
    Object.values(program.model.data.accounts).some(({ count }) => count !== undefined),
  );
  mark(
    "alternatives",
    program.formulas.some(({ name }) => program.inputs.some((input) => input.name === name)),
  );
  const { analysis, entries, grid, groups } = program;
  const bearers = analysis.perspectives.find(({ name }) => name === analysis.perspective)!.bearers;
  mark(
    "bearer left out",
    bearers !== null && entries.some(({ bearer }) => bearer !== null && !bearers.includes(bearer)),
  );
  mark(`counting ${analysis.counting.rule}`);
  mark(`events at ${["start", "middle", "end"][analysis.eventsAt * 2]}`);
  mark("stepped discount", analysis.discount.costs.length > 1);
  mark("whole years", analysis.discount.wholeYears);
  mark(
    "no discount",
    analysis.discount.effects.every(({ rate }) => rate === 0),
  );
  mark("several groups", groups.length > 1);
  mark(`evaluate at ${grid.evaluateAt === 0 ? "start" : "middle"}`);
  return used;
}
