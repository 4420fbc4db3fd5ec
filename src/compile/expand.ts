import { inputError } from "../errors.ts";
import { placeIn } from "../schema/document.ts";
import type { EventForm, Program } from "./program.ts";
import { type AgedState, type JointState, Movement, movesOf, stateKey } from "./states.ts";

const stateLimit = 1000;

/** The joint states that can be reached, in a fixed order, and the rules of movement of each strategy. */
export interface Expansion {
  readonly states: readonly JointState[];
  readonly index: ReadonlyMap<string, number>;
  /** Per model strategy; null for strategies that are not compared. */
  readonly movements: readonly (Movement | null)[];
  /** `live[strategy][cycle]`: indices of the states that may be occupied at the opening of a cycle (after instants). */
  readonly live: readonly (readonly (readonly number[])[] | null)[];
}

/**
 * Expands factors and clocks to joint states, keeping only those that some compared strategy can reach from the start.
 * Throws too-many-states and the errors of lengths and instants.
 */
export function expand(program: Program): Expansion {
  const found = new Map<string, JointState>();
  const movements = program.strategies.map((strategy) =>
    program.analysis.compare.includes(strategy.index) ? new Movement(program, strategy.index) : null,
  );
  const liveKeys = movements.map((movement) => (movement === null ? null : reach(program, movement, found)));
  const states = [...found.values()].sort(byLevels);
  const index = new Map(states.map((state, i) => [stateKey(state), i]));
  const live = liveKeys.map(
    (cycles) => cycles?.map((keys) => [...keys].map((key) => index.get(key)!).sort((a, b) => a - b)) ?? null,
  );
  return { states, index, movements, live };
}

function byLevels(a: JointState, b: JointState): number {
  for (const [f, level] of a.levels.entries()) if (level !== b.levels[f]) return level - b.levels[f]!;
  for (const [f, clock] of a.clocks.entries()) if (clock !== b.clocks[f]) return clock - b.clocks[f]!;
  return 0;
}

/** States that can be occupied at the opening of each cycle and at the end; those passed at a boundary are found too. */
function reach(program: Program, movement: Movement, found: Map<string, JointState>): readonly ReadonlySet<string>[] {
  const due = new Map<number, Map<EventForm, number>>();
  for (const group of program.groups) {
    for (const [form, cycles] of movement.firings(group.index)) {
      for (const c of cycles.keys()) {
        const groups = due.get(c) ?? new Map<EventForm, number>();
        due.set(c, groups.set(form, (groups.get(form) ?? 0) + 1));
      }
    }
  }
  // visits every year are the same visit
  const afterwards = new Map<string, Map<string, readonly string[]>>();
  const lastInstant = Math.max(-1, ...due.keys());
  const next = new Map<string, readonly string[]>();
  const keep = (state: JointState): string => {
    const key = stateKey(state);
    if (!found.has(key)) {
      found.set(key, { levels: state.levels, clocks: state.clocks });
      if (found.size > stateLimit)
        throw inputError(placeIn(program.model, ["factors"], true), "too-many-states", found.size, stateLimit);
    }
    return key;
  };
  const successors = (key: string): readonly string[] => {
    const known = next.get(key);
    if (known !== undefined) return known;
    const list = [
      ...new Set(
        movedStates(movement, found.get(key)!)
          .flatMap((state) => endings(movement, state))
          .map(keep),
      ),
    ];
    next.set(key, list);
    return list;
  };
  let open = new Set(startStates(program).map(keep));
  const cycles: Set<string>[] = [];
  for (let c = 0; c < program.grid.cycles; c++) {
    for (const fires of byEvent(due.get(c), program.groups.length)) {
      const known = keptFor(afterwards, program, fires);
      open = new Set(
        [...open].flatMap((key) => {
          const list = known.get(key) ?? afterInstant(movement, fires, found.get(key)!).map(keep);
          known.set(key, list);
          return list;
        }),
      );
    }
    cycles.push(open);
    const closing = new Set([...open].flatMap(successors));
    const settled = c > lastInstant && closing.size === open.size && [...closing].every((key) => open.has(key));
    open = closing;
    if (settled) {
      while (cycles.length <= program.grid.cycles) cycles.push(open);
      break;
    }
  }
  if (cycles.length === program.grid.cycles) cycles.push(open);
  return cycles;
}

/** Event by event in file order, the forms that fire in some group, with whether they do in every group. */
function byEvent(due: ReadonlyMap<EventForm, number> | undefined, groups: number): readonly Map<EventForm, boolean>[] {
  const events = new Map<number, Map<EventForm, boolean>>();
  for (const [form, count] of due ?? []) {
    const fires = events.get(form.event) ?? new Map<EventForm, boolean>();
    events.set(form.event, fires.set(form, count === groups));
  }
  return [...events.entries()].sort(([a], [b]) => a - b).map(([, fires]) => fires);
}

function startStates(program: Program): readonly JointState[] {
  let levels: readonly (readonly number[])[] = [[]];
  for (const factor of program.factors) {
    const possible = factor.start.flatMap((share, level) => (share === null ? [] : [level]));
    if (levels.length * possible.length > stateLimit) {
      const place = placeIn(program.model, ["factors"], true);
      throw inputError(place, "too-many-states", levels.length * possible.length, stateLimit);
    }
    levels = levels.flatMap((head) => possible.map((level) => [...head, level]));
  }
  return levels.map((list) => ({ levels: list, clocks: list.map(() => 0) }));
}

/** What is known of the states after an event, by state, for the same forms. */
function keptFor(
  all: Map<string, Map<string, readonly string[]>>,
  { events }: Program,
  fires: ReadonlyMap<EventForm, boolean>,
): Map<string, readonly string[]> {
  const key = [...fires].map(([form, inAll]) => `${events.indexOf(form)}${inAll ? "" : " in some"}`).join();
  const known = all.get(key) ?? new Map<string, readonly string[]>();
  all.set(key, known);
  return known;
}

/** Where one event leaves people of a state; `fires` tells of each of its forms that fires whether it does in every group. */
function afterInstant(
  movement: Movement,
  fires: ReadonlyMap<EventForm, boolean>,
  state: JointState,
): readonly JointState[] {
  const [form] = movement.formsFor(state, (one) => fires.has(one));
  const moves = form === undefined ? [] : movesOf(form.root);
  const certain =
    form !== undefined && fires.get(form)! && form.root.chance === null && !sharedOut(form) && !moves.includes(null);
  const moved = moves.flatMap((move) => (move === null || move === "dead" ? [] : [movement.moved(state, move)]));
  return certain ? moved : [state, ...moved];
}

const sharedOut = (form: EventForm): boolean => form.timing.when === "instant" && form.timing.shares !== null;

/** After steps 2 and 3: those who stay, and everywhere a moving event can take people, clocks aged. */
function movedStates(movement: Movement, state: JointState): readonly AgedState[] {
  const result = [movement.aged(state, null)];
  const moving = movement.formsFor(
    state,
    ({ timing, moves }) => moves && (timing.when === "rate" || timing.when === "crude" || timing.when === "chance"),
  );
  for (const form of moving) {
    for (const move of movesOf(form.root)) {
      if (move === null || move === "dead") continue;
      const moved = movement.moved(state, move);
      result.push(movement.aged(moved, moved.entered));
    }
  }
  return result;
}

/** Step 4: everywhere the ends of levels can take an aged state. */
function endings(movement: Movement, state: AgedState): readonly JointState[] {
  let open: readonly AgedState[] = [state];
  const ending = new Set(
    movement.program.events.flatMap(({ event, timing }) =>
      timing.when === "ends" || timing.when === "after" ? [event] : [],
    ),
  );
  for (const event of ending) {
    open = open.flatMap((one) => {
      const form = movement.formsFor(one, (candidate) => candidate.event === event)[0];
      if (form === undefined || !movement.fires(form, one)) return [one];
      const moves = form.root.chance === null ? movesOf(form.root) : [...movesOf(form.root), null];
      return moves.flatMap((move) => (move === "dead" ? [] : [move === null ? one : movement.movedAged(one, move)]));
    });
  }
  return open.map((one) => movement.settled(one));
}

/** The label of a state: levels, with the clock where one is kept. */
export function stateLabel(program: Program, state: JointState): string {
  if (program.factors.length === 0) return "Alive";
  return program.factors
    .map((factor, f) => {
      const level = factor.levels[state.levels[f]!]!;
      const clocked = level.lastsNode !== null || level.cap > 0;
      return clocked ? `${level.name}.${state.clocks[f]! + 1}` : level.name;
    })
    .join(" · ");
}
