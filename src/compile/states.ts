import { inputError } from "../errors.ts";
import { type Firing, firings } from "./instants.ts";
import type { Branch, EventForm, Match, Move, Program } from "./program.ts";
import { structuralValue } from "./structural.ts";
import { wholeCycles } from "./structure.ts";

/**
 * A joint state: the level of every factor and the whole cycles since it was entered (0 where the level keeps no
 * clock). `expired` marks factors whose level has just lasted its time; such a state is passed only within step 4.
 */
export interface JointState {
  readonly levels: readonly number[];
  readonly clocks: readonly number[];
}

/** In step 4: a state with the factors that have just aged, and those whose level has lasted its time. */
export interface AgedState extends JointState {
  readonly aged: readonly boolean[];
  readonly expired: readonly boolean[];
}

/** The key of a state, the same for equal states. */
export function stateKey(state: JointState): string {
  return `${state.levels.join()}|${state.clocks.join()}`;
}

/** Rules of movement between joint states under one strategy. */
export class Movement {
  readonly program: Program;
  readonly strategy: number;
  /** `lasts[factor][level]` in whole cycles, 0 where the level does not end by itself; read when first needed. */
  private readonly lasts: (number | undefined)[][];
  private readonly fired: ReadonlyMap<EventForm, Firing>[] = [];

  constructor(program: Program, strategy: number) {
    this.program = program;
    this.strategy = strategy;
    this.lasts = program.factors.map((factor) => factor.levels.map(() => undefined));
  }

  /** Whole cycles a level lasts, or 0. Throws off-grid, out-of-range, draw-dependent. */
  cyclesOf(factor: number, level: number): number {
    const known = this.lasts[factor]![level];
    if (known !== undefined) return known;
    const info = this.program.factors[factor]!.levels[level]!;
    let cycles = 0;
    if (info.lastsNode !== null && info.lasts !== null) {
      const what = `lasts of level ${info.name}`;
      const years = structuralValue(
        this.program,
        info.lastsNode,
        { strategy: this.strategy, group: null },
        what,
        info.lasts.place,
      );
      cycles = wholeCycles(years, this.program.grid, what, info.lasts.place);
      if (cycles < 1 || cycles > 1000)
        throw inputError(info.lasts.place, "out-of-range", what, `${cycles} cycles`, "1 to 1000 cycles");
    }
    this.lasts[factor]![level] = cycles;
    return cycles;
  }

  /** When instant forms fire in a group. Throws off-grid, out-of-range, draw-dependent. */
  firings(group: number): ReadonlyMap<EventForm, Firing> {
    this.fired[group] ??= firings(this.program, this.strategy, group);
    return this.fired[group];
  }

  /** True where a condition admits a state. */
  admits(match: Match, state: JointState): boolean {
    return match.every((admitted, f) => admitted === null || admitted[state.levels[f]!]!);
  }

  /** The form of each event that applies to a state among those `wanted`, in file order: the first that fits. */
  formsFor(state: JointState, wanted: (form: EventForm) => boolean): readonly EventForm[] {
    const taken = new Set<number>();
    const forms: EventForm[] = [];
    for (const form of this.program.events) {
      if (taken.has(form.event) || !form.strategies[this.strategy] || !this.admits(form.match, state)) continue;
      taken.add(form.event);
      if (wanted(form)) forms.push(form);
    }
    return forms;
  }

  /** The state after a move: the levels it sets are entered afresh. */
  moved(state: JointState, move: readonly (number | null)[]): JointState & { readonly entered: readonly boolean[] } {
    return {
      levels: state.levels.map((level, f) => move[f] ?? level),
      clocks: state.clocks.map((clock, f) => (move[f] === null ? clock : 0)),
      entered: move.map((level) => level !== null),
    };
  }

  /** Step 4, first half: clocks of levels not entered in this cycle age by one. */
  aged(state: JointState, entered: readonly boolean[] | null): AgedState {
    const clocks = [...state.clocks];
    const aged = state.levels.map(() => false);
    const expired = state.levels.map(() => false);
    for (const [f, level] of state.levels.entries()) {
      const info = this.program.factors[f]!.levels[level]!;
      if (entered?.[f] || (info.lastsNode === null && info.cap === 0)) continue;
      if (info.lastsNode !== null) {
        clocks[f] = clocks[f]! + 1;
        aged[f] = true;
        expired[f] = clocks[f] === this.cyclesOf(f, level);
      } else if (clocks[f]! < info.cap) {
        clocks[f] = clocks[f]! + 1;
        aged[f] = true;
      }
    }
    return { levels: state.levels, clocks, aged, expired };
  }

  /** Step 4: forms that fire for an aged state, in file order. */
  fires(form: EventForm, state: AgedState): boolean {
    const { timing } = form;
    if (timing.when === "ends") return state.levels[timing.factor] === timing.level && state.expired[timing.factor]!;
    return timing.when === "after" && state.aged[timing.factor]! && state.clocks[timing.factor] === timing.cycles;
  }

  /** An aged state after a move within step 4: factors it sets are neither expired nor aged any more. */
  movedAged(state: AgedState, move: readonly (number | null)[]): AgedState {
    const next = this.moved(state, move);
    return {
      levels: next.levels,
      clocks: next.clocks,
      aged: state.aged.map((yes, f) => yes && move[f] === null),
      expired: state.expired.map((yes, f) => yes && move[f] === null),
    };
  }

  /** Step 4, last: levels that have lasted their time go where `then` says. */
  settled(state: AgedState): JointState {
    if (!state.expired.some(Boolean)) return state;
    const levels = state.levels.map((level, f) =>
      state.expired[f] ? (this.program.factors[f]!.levels[level]!.next ?? level) : level,
    );
    return { levels, clocks: state.clocks.map((clock, f) => (state.expired[f] ? 0 : clock)) };
  }
}

/** A child's move on top of its parent's: what the child sets wins, death wins over all. */
export function combinedMove(above: Move | null, own: Move | null): Move | null {
  if (above === null || own === null || above === "dead" || own === "dead") return own ?? above;
  return own.map((level, f) => level ?? above[f]!);
}

/** The moves an event can make, with `null` where it leaves some people unmoved. */
export function movesOf(branch: Branch, above: Move | null = null): readonly (Move | null)[] {
  const move = combinedMove(above, branch.move);
  if (branch.children.length === 0) return [move];
  const inner = branch.children.flatMap((child) => movesOf(child, move));
  return branch.children.some((child) => child.rest) ? inner : [...inner, move];
}
