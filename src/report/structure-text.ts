import { type Expansion, stateLabel } from "../compile/expand.ts";
import type { Branch, EventForm, Move, Program, Timing } from "../compile/program.ts";
import { tableText } from "./table-text.ts";

/** The expanded structure in words: factors, joint states with when they are occupied, events with their branches. */
export function structureText(program: Program, expansion: Expansion): string {
  const compared = program.analysis.compare;
  const occupied = (s: number, state: number): string => {
    const cycles = expansion.live[s]!.flatMap((list, c) => (list.includes(state) ? [c] : []));
    return cycles.length === 0 ? "" : `${cycles[0]}-${cycles.at(-1)}`;
  };
  const states = tableText({
    header: ["Joint state", ...compared.map((s) => program.strategies[s]!.id)],
    rows: expansion.states.map((state, i) => [stateLabel(program, state), ...compared.map((s) => occupied(s, i))]),
  });
  const factors = program.factors.map(
    (factor) => `  ${factor.name}: ${factor.levels.map((level) => level.name).join(", ")}`,
  );
  const events = program.events.flatMap((form) => eventLines(program, form));
  return [
    "Factors",
    ...factors,
    "",
    "Joint states and the boundaries at which they may be occupied",
    states,
    "",
    "Events",
    ...events,
    "",
  ].join("\n");
}

function eventLines(program: Program, form: EventForm): readonly string[] {
  const whom = form.match.flatMap((admitted, f) => {
    if (admitted === null) return [];
    const factor = program.factors[f]!;
    return [
      `${factor.name} ${factor.levels
        .filter((_, level) => admitted[level])
        .map((level) => level.name)
        .join("|")}`,
    ];
  });
  const some = form.strategies.every(Boolean)
    ? []
    : [
        program.strategies
          .filter((_, s) => form.strategies[s])
          .map(({ id }) => id)
          .join("|"),
      ];
  const conditions = [...some, ...whom].join(", ");
  return [
    `  ${program.paths[form.root.path]}: ${timingText(program, form.timing)}${conditions === "" ? "" : ` [${conditions}]`}`,
    ...branchLines(program, form.root, 2),
  ];
}

function branchLines(program: Program, branch: Branch, depth: number): readonly string[] {
  const indent = "  ".repeat(depth);
  const move = branch.move === null ? [] : [`${indent}-> ${moveText(program, branch.move)}`];
  const children = branch.children.flatMap((child) => [
    `${indent}${program.paths[child.path]?.split(".").at(-1)}${child.rest ? " (the rest)" : ""}`,
    ...branchLines(program, child, depth + 1),
  ]);
  return [...move, ...children];
}

function moveText(program: Program, move: Move): string {
  if (move === "dead") return program.deathLabel;
  return move
    .flatMap((level, f) =>
      level === null ? [] : [`${program.factors[f]!.name} ${program.factors[f]!.levels[level]!.name}`],
    )
    .join(", ");
}

function timingText(program: Program, timing: Timing): string {
  switch (timing.when) {
    case "instant":
      return timing.every === null ? "at instants" : `every ${timing.every} cycles`;
    case "ends":
      return `when ${program.factors[timing.factor]!.name} ${program.factors[timing.factor]!.levels[timing.level]!.name} has lasted its time`;
    case "after":
      return `${timing.cycles} cycles into a level of ${program.factors[timing.factor]!.name}`;
    case "crude":
      return "crude incidence";
    default:
      return timing.when;
  }
}
