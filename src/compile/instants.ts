import { inputError } from "../errors.ts";
import type { EventForm, Program } from "./program.ts";
import { structuralValue } from "./structural.ts";
import { wholeCycles } from "./structure.ts";

/** The cycles at whose opening boundary a form fires, each with the position of its instant in the list. */
export type Firing = ReadonlyMap<number, number>;

/**
 * For one strategy and group, when each instant form fires before the last boundary; forms of other timing have none.
 * Throws off-grid, out-of-range, draw-dependent.
 */
export function firings(program: Program, strategy: number, group: number): ReadonlyMap<EventForm, Firing> {
  const { grid } = program;
  const result = new Map<EventForm, Firing>();
  for (const form of program.events) {
    const { timing } = form;
    if (timing.when !== "instant" || !form.strategies[strategy]) continue;
    const cycles = new Map<number, number>();
    for (const [position, node] of timing.at.entries()) {
      const { place } = timing.sources[position] ?? form.source;
      const years = structuralValue(program, node, { strategy, group }, "an instant", place);
      const cycle = wholeCycles(years, grid, "an instant", place);
      if (cycle < 0) throw inputError(place, "out-of-range", "an instant", `${years} years`, "0 or later");
      if (cycles.has(cycle) || (timing.shares !== null && [...cycles.keys()].some((earlier) => earlier > cycle))) {
        const order = "the order of time, later than the one before";
        throw inputError(place, "out-of-range", "an instant of the list", `${years} years`, order);
      }
      if (cycle < grid.cycles) cycles.set(cycle, position);
    }
    if (timing.every !== null) {
      const last = timing.until ?? grid.cycles;
      for (let cycle = timing.from; cycle < grid.cycles && cycle <= last; cycle += timing.every) cycles.set(cycle, 0);
    }
    result.set(form, cycles);
  }
  return result;
}

/** By cycle, event by event in file order, the forms that fire at its opening with their positions. */
export type Calendar = ReadonlyMap<number, readonly (readonly (readonly [EventForm, number])[])[]>;

/** What fires when, of several groups: once for all in which the same does, `some` of them by their place in the list. */
export function calendars(
  firings: readonly ReadonlyMap<EventForm, Firing>[],
): readonly { readonly events: Calendar; readonly some: readonly number[] }[] {
  const found: { readonly firing: ReadonlyMap<EventForm, Firing>; readonly some: number[] }[] = [];
  for (const [place, firing] of firings.entries()) {
    const known = found.find((one) => isSame(one.firing, firing));
    if (known === undefined) found.push({ firing, some: [place] });
    else known.some.push(place);
  }
  return found.map(({ firing, some }) => ({ events: calendar(firing), some }));
}

/** True where the same forms fire at the same cycles by the same positions. */
function isSame(one: ReadonlyMap<EventForm, Firing>, other: ReadonlyMap<EventForm, Firing>): boolean {
  return [...one].every(([form, cycles]) => {
    const others = other.get(form);
    return others?.size === cycles.size && [...cycles].every(([c, position]) => others.get(c) === position);
  });
}

function calendar(firing: ReadonlyMap<EventForm, Firing>): Calendar {
  const due = new Map<number, Map<number, [EventForm, number][]>>();
  for (const [form, cycles] of firing) {
    for (const [c, position] of cycles) {
      const events = due.get(c) ?? new Map<number, [EventForm, number][]>();
      due.set(c, events.set(form.event, [...(events.get(form.event) ?? []), [form, position]]));
    }
  }
  return new Map([...due].map(([c, events]) => [c, [...events.values()]]));
}
