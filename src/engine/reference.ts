import type { Expansion } from "../compile/expand.ts";
import { stateLabel } from "../compile/expand.ts";
import { firedAt, firings } from "../compile/instants.ts";
import type { EventForm, Move, Program } from "../compile/program.ts";
import { type AgedState, type JointState, type Movement, stateKey } from "../compile/states.ts";
import { inputError } from "../errors.ts";
import { expm1 } from "../numerics/exp.ts";
import { Books, type Take } from "./books.ts";
import { EventWalk, type Leaf, takesAll } from "./event-walk.ts";
import { FormulaValues, type Moment, type Standing } from "./formula-value.ts";
import type { Traced } from "./traced.ts";

/**
 * The referee: evaluates one row for one strategy and one group by walking factors, events and formulas as declared,
 * one person's share at a time. Slow and plain; the fast evaluators must agree with it.
 * Throws rate-negative, chance-out-of-range, not-finite, crude-unreachable and table-range at the expression concerned.
 */
export function evaluateReference(
  program: Program,
  expansion: Expansion,
  row: Float64Array,
  s: number,
  g: number,
): Traced {
  const movement = expansion.movements[s];
  if (movement === undefined || movement === null) throw new Error(`strategy ${s} is not expanded`);
  return new Reference(program, expansion, movement, row, s, g).run();
}

/** Forms that may apply to a state, found once. */
interface Applicable {
  readonly instants: ReadonlySet<EventForm>;
  readonly moving: readonly EventForm[];
  readonly chances: readonly EventForm[];
  readonly rates: readonly EventForm[];
}

class Reference {
  private readonly values: FormulaValues;
  private readonly walk: EventWalk;
  private readonly books: Books;
  private readonly states: readonly JointState[];
  private readonly applicable: readonly Applicable[];
  private readonly endings: readonly number[];
  /** Per state, the aged state after each move (null: none); the same object each time, so that it can be a key. */
  private readonly agedAfter: readonly Map<Move | null, AgedState>[];
  /** Where an aged state settles if no event fires at its end; undefined where one does. */
  private readonly quiet = new Map<AgedState, number | undefined>();
  private readonly dt: number;
  private readonly cycles: number;
  private readonly program: Program;
  private readonly expansion: Expansion;
  private readonly movement: Movement;
  private readonly g: number;

  constructor(program: Program, expansion: Expansion, movement: Movement, row: Float64Array, s: number, g: number) {
    this.program = program;
    this.expansion = expansion;
    this.movement = movement;
    this.g = g;
    this.states = expansion.states;
    this.dt = program.grid.cycleYears;
    this.cycles = program.grid.cycles;
    this.values = new FormulaValues(program, row, s, g);
    const where = (state: Standing): string => this.where(state);
    this.walk = new EventWalk(program, this.values, where);
    this.books = new Books(program, movement, this.values, this.states.length, where);
    this.applicable = this.states.map((state) => ({
      instants: new Set(movement.formsFor(state, ({ timing }) => timing.when === "instant")),
      moving: movement.formsFor(
        state,
        ({ moves, timing }) => moves && (timing.when === "rate" || timing.when === "crude"),
      ),
      chances: movement.formsFor(state, ({ timing }) => timing.when === "chance"),
      rates: movement.formsFor(state, ({ timing }) => timing.when === "rate"),
    }));
    this.agedAfter = this.states.map(() => new Map());
    const ending = program.events.filter(({ timing }) => timing.when === "ends" || timing.when === "after");
    this.endings = [...new Set(ending.map(({ event }) => event))];
  }

  run(): Traced {
    const { counting } = this.program.analysis;
    const n = this.states.length;
    const firing = firings(this.program, this.movement.strategy, this.g);
    let x = this.start();
    for (let c = 0; c < this.cycles; c++) {
      this.books.c = c;
      this.values.at(this.momentOf(c));
      for (const fired of firedAt(firing, c)) x = this.instant(fired, x);
      this.record(c, x);
      const y = this.cycle(x);
      if (counting.rule === "boundary") this.boundary(c, x, counting.weights[c]!);
      else {
        this.values.at(this.momentOf(c));
        this.accrue(x, y, counting.rule);
      }
      x = y;
    }
    this.books.c = this.cycles - 1;
    this.record(this.cycles, x);
    if (counting.rule === "boundary") this.boundary(this.cycles, x, counting.weights[this.cycles]!);
    if (x.length !== n + 1) throw new Error("membership lost its shape");
    return this.books.out;
  }

  private momentOf(c: number): Moment {
    const { cyclesPerYear, evaluateAt } = this.program.grid;
    return { cycle: c, time: (c + evaluateAt) / cyclesPerYear, startTime: c / cyclesPerYear };
  }

  private boundaryMoment(c: number): Moment {
    const time = c / this.program.grid.cyclesPerYear;
    return { cycle: c, time, startTime: time };
  }

  private where(state: { readonly levels: readonly number[]; readonly clocks: readonly number[] }): string {
    const { strategies, groups } = this.program;
    return `in state ${stateLabel(this.program, state)}, cycle ${this.books.c}, strategy ${strategies[this.movement.strategy]!.id}, group ${groups[this.g]!.id}`;
  }

  /** The shares of the joint states at the start; factors are independent. */
  private start(): Float64Array {
    this.books.c = 0;
    this.values.at(this.boundaryMoment(0));
    const x = new Float64Array(this.states.length + 1);
    const nobody = { levels: this.program.factors.map(() => 0), clocks: this.program.factors.map(() => 0) };
    const shares = this.program.factors.map((factor) => {
      const list = factor.start.map((share) => (share === null ? 0 : this.values.value(share, nobody)));
      const sum = list.reduce((total, share) => total + share, 0);
      const wrong = list.find((share) => !(share >= 0 && share <= 1 + 1e-12));
      if (wrong !== undefined || Math.abs(sum - 1) > 1e-9) {
        throw inputError(this.program.startPlace, "shares-sum", `${factor.name} at the start`, String(wrong ?? sum));
      }
      return list;
    });
    for (const [i, state] of this.states.entries()) {
      if (state.clocks.some((clock) => clock > 0)) continue;
      x[i] = state.levels.reduce((product, level, f) => product * shares[f]![level]!, 1);
    }
    return x;
  }

  /** Step 1: one event at the opening boundary, in the form that fits, on those at risk when its turn comes. */
  private instant(fired: ReadonlyMap<EventForm, number>, x: Float64Array): Float64Array {
    const y = Float64Array.from(x);
    for (const [i, state] of this.states.entries()) {
      if (x[i] === 0) continue;
      for (const [form, position] of fired) {
        if (!this.applicable[i]!.instants.has(form)) continue;
        const leaves = this.walk.leaves(form, state);
        const all = takesAll(form, leaves);
        if (all) y[i]! -= x[i]!;
        for (const leaf of leaves) {
          const part = x[i]! * this.walk.instantShare(form, position) * leaf.chance;
          this.books.happened(leaf, part, state, "start");
          if (leaf.move === null) continue;
          if (!all) y[i]! -= part;
          y[this.target(state, leaf.move)]! += part;
        }
      }
    }
    return y;
  }

  private target(state: JointState, move: Move): number {
    return move === "dead" ? this.states.length : this.indexOf(this.movement.moved(state, move));
  }

  private indexOf(state: JointState): number {
    const index = this.expansion.index.get(stateKey(state));
    if (index === undefined) throw new Error(`unexpected joint state ${stateKey(state)}`);
    return index;
  }

  /** Steps 2 to 4 for everybody; returns the closing membership. */
  private cycle(x: Float64Array): Float64Array {
    const y = new Float64Array(x.length);
    y[x.length - 1] = x[x.length - 1]!;
    for (const [i, state] of this.states.entries()) {
      let staying = x[i]!;
      if (staying === 0) continue;
      const arrive = (leaf: Leaf, mass: number): void => {
        this.books.happened(leaf, mass, state, "events");
        if (leaf.move === "dead") y[y.length - 1]! += mass;
        else if (leaf.move !== null) {
          this.endOfCycle(this.aged(i, leaf.move), mass, y);
        }
      };
      const rates = this.walk.competing(this.applicable[i]!.moving, state);
      const total = rates.reduce((sum, { rate }) => sum + rate, 0);
      if (total > 0) {
        const gone = -expm1(-total * this.dt);
        for (const { leaf, rate } of rates) arrive(leaf, x[i]! * ((rate / total) * gone));
        staying -= x[i]! * gone;
      }
      for (const form of this.applicable[i]!.chances) {
        const atRisk = staying;
        for (const leaf of this.walk.leaves(form, state)) {
          const mass = atRisk * leaf.chance;
          arrive(leaf, mass);
          if (leaf.move !== null) staying -= mass;
        }
      }
      this.endOfCycle(this.aged(i, null), Math.max(0, staying), y);
    }
    return y;
  }

  /** The state after a move (levels it sets are entered afresh), clocks aged. */
  private aged(i: number, move: Exclude<Move, "dead"> | null): AgedState {
    const known = this.agedAfter[i]!.get(move);
    if (known !== undefined) return known;
    const state = this.states[i]!;
    const moved = move === null ? null : this.movement.moved(state, move);
    const aged = this.movement.aged(moved ?? state, moved?.entered ?? null);
    this.agedAfter[i]!.set(move, aged);
    return aged;
  }

  /** Step 4: what the end of levels does to those in an aged state. */
  private endOfCycle(aged: AgedState, mass: number, y: Float64Array): void {
    if (!this.quiet.has(aged)) {
      const fires = this.movement.formsFor(aged, (form) => this.movement.fires(form, aged)).length > 0;
      this.quiet.set(aged, fires ? undefined : this.indexOf(this.movement.settled(aged)));
    }
    const target = this.quiet.get(aged);
    if (target !== undefined) {
      y[target]! += mass;
      return;
    }
    let open: readonly { readonly state: AgedState; readonly mass: number }[] = [{ state: aged, mass }];
    for (const event of this.endings) {
      open = open.flatMap((one) => {
        const form = this.movement.formsFor(one.state, (candidate) => candidate.event === event)[0];
        if (form === undefined || !this.movement.fires(form, one.state)) return [one];
        let staying = one.mass;
        const moved: { state: AgedState; mass: number }[] = [];
        const leaves = this.walk.leaves(form, one.state);
        for (const leaf of leaves) {
          const part = one.mass * leaf.chance;
          this.books.happened(leaf, part, one.state, "end");
          if (leaf.move === null) continue;
          staying -= part;
          if (leaf.move === "dead") y[y.length - 1]! += part;
          else moved.push({ state: this.movement.movedAged(one.state, leaf.move), mass: part });
        }
        return staying === 0 || takesAll(form, leaves) ? moved : [{ state: one.state, mass: staying }, ...moved];
      });
    }
    for (const one of open) y[this.indexOf(this.movement.settled(one.state))]! += one.mass;
  }

  /** Amounts over time by cycle: membership at opening and closing, weighted as the counting rule says. */
  private accrue(x: Float64Array, y: Float64Array, rule: "start" | "end" | "middle" | "trapezoid"): void {
    const opening = rule === "start" ? 1 : rule === "end" ? 0 : 0.5;
    for (const [i, state] of this.states.entries()) {
      if (x[i] === 0 && y[i] === 0) continue;
      const atOpen = x[i]! * opening * this.dt;
      const atClose = y[i]! * (1 - opening) * this.dt;
      this.books.out.lifeYears[this.books.c]! += atOpen + atClose;
      this.overTime(i, state, atOpen + atClose, (entry, amount) => {
        const v = this.books.discounts[entry]!;
        if (rule === "middle") this.books.post(entry, amount * (atOpen + atClose), v.middle[this.books.c]!);
        else {
          if (atOpen !== 0) this.books.post(entry, amount * atOpen, v.start[this.books.c]!);
          if (atClose !== 0) this.books.post(entry, amount * atClose, v.end[this.books.c]!);
        }
      });
    }
  }

  /** Amounts over time by boundary: one weight on the opening membership. */
  private boundary(c: number, x: Float64Array, weight: number): void {
    this.books.c = Math.min(c, this.cycles - 1);
    this.values.at(this.boundaryMoment(c));
    for (const [i, state] of this.states.entries()) {
      if (x[i] === 0) continue;
      const years = x[i]! * weight * this.dt;
      this.books.out.lifeYears[this.books.c]! += years;
      this.overTime(i, state, years, (entry, amount) =>
        this.books.post(entry, amount * years, this.books.discounts[entry]!.start[c]!),
      );
    }
  }

  /** Yearly amounts of a state: lines over time, and rates that move nobody; `years` lived in it count those. */
  private overTime(i: number, state: JointState, years: number, post: Take): void {
    this.books.lines(state, post);
    for (const form of this.applicable[i]!.rates) {
      const yearly = this.walk.rateOf(form, state);
      for (const leaf of this.walk.leaves(form, state)) {
        if (leaf.move === null) this.books.accrued(leaf, yearly * leaf.chance, years, state, post);
      }
    }
  }

  /** Opening membership at a boundary, and the curves there. */
  private record(c: number, x: Float64Array): void {
    this.books.out.membership.set(x, c * x.length);
    if (this.program.curves.length === 0) return;
    this.values.at(this.boundaryMoment(c));
    const alive = x.subarray(0, x.length - 1).reduce((sum, share) => sum + share, 0);
    for (const [k, curve] of this.program.curves.entries()) {
      let sum = 0;
      for (const [i, state] of this.states.entries())
        if (x[i] !== 0) sum += x[i]! * this.values.value(curve.node, state);
      this.books.out.curves[k * (this.cycles + 1) + c] = sum / alive;
    }
    this.values.at(this.momentOf(Math.min(c, this.cycles - 1)));
  }
}
