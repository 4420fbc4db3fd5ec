import type { Expansion } from "../compile/expand.ts";
import type { EventForm, Move } from "../compile/program.ts";
import { type AgedState, type JointState, type Movement, movesOf, stateKey } from "../compile/states.ts";
import { kept } from "./combination.ts";

/** A state at the close of a cycle, its clocks aged, before levels that have lasted their time end. */
export class Aged {
  readonly who: AgedState;
  /** Forms that fire at this end, one for each event. */
  readonly fires: readonly EventForm[];
  private readonly standings: Standings;
  private readonly after = new Map<Move, Aged>();
  private place = -1;

  constructor(standings: Standings, who: AgedState) {
    const { movement } = standings;
    this.standings = standings;
    this.who = who;
    this.fires = who.aged.includes(true) ? movement.formsFor(who, (form) => movement.fires(form, who)) : [];
  }

  /** The joint state in which these people settle once nothing more fires. */
  settled(): number {
    if (this.place < 0) this.place = this.standings.indexOf(this.standings.movement.settled(this.who));
    return this.place;
  }

  /** The state after a move of an event that fired here. */
  moved(move: Exclude<Move, "dead">): Aged {
    return kept(this.after, move, () => new Aged(this.standings, this.standings.movement.movedAged(this.who, move)));
  }
}

/** The form of each event that applies to a joint state, by when it happens, in file order. */
export interface FormsHere {
  readonly instants: readonly EventForm[];
  /** Rates and crude incidences that move people. */
  readonly moving: readonly EventForm[];
  readonly chances: readonly EventForm[];
  readonly rates: readonly EventForm[];
  /** Rates that may leave somebody where they are, and then accrue. */
  readonly accruing: readonly EventForm[];
}

function sorted(forms: readonly EventForm[]): FormsHere {
  const when = (...times: readonly EventForm["timing"]["when"][]): readonly EventForm[] =>
    forms.filter(({ timing }) => times.includes(timing.when));
  return {
    instants: when("instant"),
    moving: when("rate", "crude").filter(({ moves }) => moves),
    chances: when("chance"),
    rates: when("rate"),
    accruing: when("rate").filter(({ root }) => movesOf(root).includes(null)),
  };
}

/** Where people of one strategy stand and get to, whatever the row of inputs; found when first asked for and then kept. */
export class Standings {
  readonly movement: Movement;
  private readonly expansion: Expansion;
  private readonly forms: (FormsHere | undefined)[] = [];
  private readonly after: (Map<Move | null, Aged> | undefined)[] = [];

  constructor(expansion: Expansion, movement: Movement) {
    this.expansion = expansion;
    this.movement = movement;
  }

  /** The forms that apply to a joint state. */
  formsAt(i: number): FormsHere {
    this.forms[i] ??= sorted(this.movement.formsFor(this.expansion.states[i]!, () => true));
    return this.forms[i];
  }

  /** The joint state after a move at once; the dead stand behind all others. */
  moved(i: number, move: Move): number {
    const { states } = this.expansion;
    return move === "dead" ? states.length : this.indexOf(this.movement.moved(states[i]!, move));
  }

  /** The state after a move within the cycle (levels it sets are entered afresh), or after none, clocks aged. */
  aged(i: number, move: Exclude<Move, "dead"> | null): Aged {
    this.after[i] ??= new Map();
    return kept(this.after[i], move, () => {
      const state = this.expansion.states[i]!;
      const moved = move === null ? null : this.movement.moved(state, move);
      return new Aged(this, this.movement.aged(moved ?? state, moved?.entered ?? null));
    });
  }

  /** The place of a joint state among all. */
  indexOf(state: JointState): number {
    const index = this.expansion.index.get(stateKey(state));
    if (index === undefined) throw new Error(`unexpected joint state ${stateKey(state)}`);
    return index;
  }
}
