import type { EventForm, Move, Program } from "../compile/program.ts";
import type { JointState } from "../compile/states.ts";
import type { Asked } from "./asked.ts";
import { Competing, EventHere } from "./competing.ts";
import type { EventWalk } from "./event-walk.ts";
import type { FormulaValues } from "./formula-value.ts";
import type { Occasion } from "./occasion.ts";
import type { AccruesHere, OverTime } from "./over-time.ts";
import type { Postings } from "./postings.ts";
import type { Aged, Standings } from "./standings.ts";

/** What there is to ask for people standing in a joint state. */
interface Here {
  readonly state: JointState;
  readonly instants: ReadonlyMap<EventForm, EventHere<number>>;
  readonly competing: Competing<Aged | null>;
  readonly chances: readonly EventHere<Aged | null>[];
  /** Where those are at the close of the cycle who do not move. */
  readonly stay: Aged;
  readonly accrues: AccruesHere;
  readonly curves: readonly Asked[];
}

/** Where values and events are asked: in the cycle, at its opening boundary, and for what accrues over time. */
interface Askers {
  readonly walk: EventWalk;
  readonly atBoundary: FormulaValues;
  readonly walkOverTime: EventWalk;
  readonly valuesOverTime: FormulaValues;
}

/** Finds what there is to ask in a joint state when somebody is there. */
export class Places {
  private readonly states: readonly JointState[];
  private readonly standings: Standings;
  private readonly postings: Postings;
  private readonly askers: Askers;
  private readonly overTime: OverTime;
  private readonly curves: Program["curves"];
  private readonly known: (Here | undefined)[] = [];

  constructor(
    states: readonly JointState[],
    { standings, postings }: { readonly standings: Standings; readonly postings: Postings },
    askers: Askers,
    overTime: OverTime,
    curves: Program["curves"],
  ) {
    this.states = states;
    this.standings = standings;
    this.postings = postings;
    this.askers = askers;
    this.overTime = overTime;
    this.curves = curves;
  }

  /** What there is to ask in a joint state. */
  at(i: number): Here {
    this.known[i] ??= this.found(i);
    return this.known[i];
  }

  private found(i: number): Here {
    const state = this.states[i]!;
    const { standings, postings } = this;
    const { walk, walkOverTime, valuesOverTime, atBoundary } = this.askers;
    const forms = standings.formsAt(i);
    const now = (move: Move | null): number => (move === null ? i : standings.moved(i, move));
    const closing = (move: Move | null): Aged | null => (move === "dead" ? null : standings.aged(i, move));
    const within = (form: EventForm): EventHere<Aged | null> => new EventHere(walk.occasion(form, state), closing);
    const accruing = (form: EventForm): Occasion => walkOverTime.occasion(form, state);
    return {
      state,
      instants: new Map(forms.instants.map((form) => [form, new EventHere(walk.occasion(form, state), now)])),
      competing: new Competing(forms.moving.map(within), atBoundary.lanes),
      chances: forms.chances.map(within),
      stay: standings.aged(i, null),
      accrues: this.overTime.here(
        state,
        postings.lines(state, valuesOverTime),
        forms.rates.map(accruing),
        forms.accruing.map(accruing),
      ),
      curves: this.curves.map((curve) => atBoundary.asked(curve.node, state)),
    };
  }
}
