import { type Expansion, stateLabel } from "../compile/expand.ts";
import { firedAt, firings } from "../compile/instants.ts";
import type { EventForm, Move, Program } from "../compile/program.ts";
import type { JointState } from "../compile/states.ts";
import { inputError } from "../errors.ts";
import { expm1 } from "../numerics/exp.ts";
import { Books } from "./books.ts";
import { Combinations, type Standing } from "./combination.ts";
import { Competing, EventHere, type Passage } from "./competing.ts";
import { type DiscountTable, discountTable } from "./discount.ts";
import { EventWalk } from "./event-walk.ts";
import { type Asked, FormulaValues, type Moment } from "./formula-value.ts";
import { LevelEnds } from "./level-ends.ts";
import type { Occasion } from "./occasion.ts";
import { type Line, Postings } from "./postings.ts";
import { type Aged, Standings } from "./standings.ts";
import type { Traced } from "./traced.ts";

/** What the referee finds once for all rows. */
interface Prepared {
  readonly program: Program;
  readonly expansion: Expansion;
  readonly combinations: Combinations;
  /** By entry. */
  readonly discounts: readonly DiscountTable[];
}

/** And for all rows of a strategy. */
interface Route {
  readonly standings: Standings;
  readonly postings: Postings;
}

/**
 * The referee: evaluates one row for one strategy and one group by walking factors, events and formulas as declared,
 * one person's share at a time. Plain; the fast evaluators must agree with it. What comes back evaluates a row.
 * Throws rate-negative, chance-out-of-range, not-finite, crude-unreachable and table-range at the expression concerned.
 */
export function referee(program: Program, expansion: Expansion): (row: Float64Array, s: number, g: number) => Traced {
  const tables = {
    costs: discountTable(program, "costs"),
    effects: discountTable(program, "effects"),
    none: discountTable(program, "none"),
  };
  const discounts = program.entries.map((entry) => tables[program.accounts[entry.account]!.discount]);
  const prepared = { program, expansion, combinations: new Combinations(program), discounts };
  const routes = expansion.movements.map(
    (movement) =>
      movement && { standings: new Standings(expansion, movement), postings: new Postings(program, movement) },
  );
  return (row, s, g) => {
    const route = routes[s];
    if (route === undefined || route === null) throw new Error(`strategy ${s} is not expanded`);
    return new Reference(prepared, route, row, g).run();
  };
}

/** One row through the referee for one strategy and one group; throws what `referee` throws. */
export function evaluateReference(
  program: Program,
  expansion: Expansion,
  row: Float64Array,
  s: number,
  g: number,
): Traced {
  return referee(program, expansion)(row, s, g);
}

/** What there is to ask for people standing in a joint state. */
interface Here {
  readonly state: JointState;
  readonly instants: ReadonlyMap<EventForm, EventHere<number>>;
  readonly competing: Competing<Aged | null>;
  readonly chances: readonly EventHere<Aged | null>[];
  /** Where those are at the close of the cycle who do not move. */
  readonly stay: Aged;
  /** What accrues over time: lines, and rates that move nobody. */
  readonly lines: readonly Line[];
  readonly rates: readonly Occasion[];
  /** Of these, those that may leave somebody where they are. */
  readonly accruing: readonly Occasion[];
  readonly curves: readonly Asked[];
}

class Reference {
  /** Values where formulas are evaluated in the cycle, and those at its opening boundary. */
  private readonly inCycle: FormulaValues;
  private readonly atBoundary: FormulaValues;
  /** Values for what accrues over time. */
  private readonly overTime: FormulaValues;
  private readonly walk: EventWalk;
  private readonly walkOverTime: EventWalk;
  private readonly ends: LevelEnds;
  private readonly books: Books;
  private readonly postings: Postings;
  private readonly standings: Standings;
  private readonly states: readonly JointState[];
  private readonly known: (Here | undefined)[] = [];
  private readonly dt: number;
  private readonly cycles: number;
  private readonly program: Program;
  private readonly g: number;
  private readonly where = (who: Standing): string => {
    const { strategies, groups } = this.program;
    return `in state ${stateLabel(this.program, who)}, cycle ${this.books.c}, strategy ${strategies[this.standings.movement.strategy]!.id}, group ${groups[this.g]!.id}`;
  };

  constructor(prepared: Prepared, { standings, postings }: Route, row: Float64Array, g: number) {
    const { program, expansion, combinations, discounts } = prepared;
    const { movement } = standings;
    this.postings = postings;
    this.program = program;
    this.standings = standings;
    this.g = g;
    this.states = expansion.states;
    this.dt = program.grid.cycleYears;
    this.cycles = program.grid.cycles;
    this.inCycle = new FormulaValues(program, row, movement.strategy, g, combinations);
    this.atBoundary = new FormulaValues(program, row, movement.strategy, g, combinations);
    const byBoundary = program.analysis.counting.rule === "boundary";
    this.overTime = byBoundary ? this.atBoundary : this.inCycle;
    this.books = new Books(program, discounts, this.states.length, this.where);
    const ground = { values: this.inCycle, postings, where: this.where };
    this.walk = new EventWalk(ground, combinations);
    this.walkOverTime = byBoundary ? new EventWalk({ ...ground, values: this.overTime }, combinations) : this.walk;
    this.ends = new LevelEnds(program, this.books, this.walk);
  }

  run(): Traced {
    const { counting } = this.program.analysis;
    const firing = firings(this.program, this.standings.movement.strategy, this.g);
    let x = this.start();
    for (let c = 0; c < this.cycles; c++) {
      this.books.c = c;
      this.inCycle.at(this.momentOf(c));
      for (const fired of firedAt(firing, c)) x = this.instant(fired, x);
      this.record(c, x);
      const y = this.cycle(x);
      if (counting.rule === "boundary") this.boundary(c, x, counting.weights[c]!);
      else this.accrue(x, y, counting.rule);
      x = y;
    }
    this.books.c = this.cycles - 1;
    this.record(this.cycles, x);
    if (counting.rule === "boundary") this.boundary(this.cycles, x, counting.weights[this.cycles]!);
    if (x.length !== this.states.length + 1) throw new Error("membership lost its shape");
    return this.books.out;
  }

  /** What there is to ask in a joint state, found when somebody is there. */
  private here(i: number): Here {
    this.known[i] ??= this.found(i);
    return this.known[i];
  }

  private found(i: number): Here {
    const state = this.states[i]!;
    const { standings, walk } = this;
    const forms = standings.formsAt(i);
    const now = (move: Move | null): number => (move === null ? i : standings.moved(i, move));
    const closing = (move: Move | null): Aged | null => (move === "dead" ? null : standings.aged(i, move));
    const within = (form: EventForm): EventHere<Aged | null> => new EventHere(walk.occasion(form, state), closing);
    const overTime = (form: EventForm): Occasion => this.walkOverTime.occasion(form, state);
    return {
      state,
      instants: new Map(forms.instants.map((form) => [form, new EventHere(walk.occasion(form, state), now)])),
      competing: new Competing(forms.moving.map(within)),
      chances: forms.chances.map(within),
      stay: standings.aged(i, null),
      lines: this.postings.lines(state, this.overTime),
      rates: forms.rates.map(overTime),
      accruing: forms.accruing.map(overTime),
      curves: this.program.curves.map((curve) => this.atBoundary.asked(curve.node, state)),
    };
  }

  private momentOf(c: number): Moment {
    const { cyclesPerYear, evaluateAt } = this.program.grid;
    return { cycle: c, time: (c + evaluateAt) / cyclesPerYear, startTime: c / cyclesPerYear };
  }

  private boundaryMoment(c: number): Moment {
    const time = c / this.program.grid.cyclesPerYear;
    return { cycle: c, time, startTime: time };
  }

  /** The shares of the joint states at the start; factors are independent. */
  private start(): Float64Array {
    this.books.c = 0;
    this.atBoundary.at(this.boundaryMoment(0));
    const x = new Float64Array(this.states.length + 1);
    const nobody = { levels: this.program.factors.map(() => 0), clocks: this.program.factors.map(() => 0) };
    const shares = this.program.factors.map((factor) => {
      const list = factor.start.map((share) => (share === null ? 0 : this.atBoundary.value(share, nobody)));
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
    const y = x.slice();
    for (let i = 0; i < this.states.length; i++) {
      if (x[i] === 0) continue;
      const { state, instants } = this.here(i);
      for (const [form, position] of fired) {
        const event = instants.get(form);
        if (event === undefined) continue;
        const ways = event.occasion.ways(state);
        const all = event.occasion.takesAll(state);
        if (all) y[i]! -= x[i]!;
        for (const way of ways) {
          const part = x[i]! * this.walk.instantShare(form, position) * way.chance;
          this.books.happened(way.passed, part, state, "start");
          if (way.move === null) continue;
          if (!all) y[i]! -= part;
          y[event.passage(way).to]! += part;
        }
      }
    }
    return y;
  }

  /** Steps 2 to 4 for everybody; returns the closing membership. */
  private cycle(x: Float64Array): Float64Array {
    const y = new Float64Array(x.length);
    y[x.length - 1] = x[x.length - 1]!;
    for (let i = 0; i < this.states.length; i++) {
      const share = x[i]!;
      if (share === 0) continue;
      const { state, competing, chances, stay } = this.here(i);
      let staying = share;
      const passages = competing.ways(state, this.where);
      let total = 0;
      for (const { rate } of passages) total += rate;
      if (total > 0) {
        const gone = -expm1(-total * this.dt);
        for (const passage of passages) this.arrive(passage, share * ((passage.rate / total) * gone), state, y);
        staying -= share * gone;
      }
      for (const event of chances) {
        const atRisk = staying;
        for (const way of event.occasion.ways(state)) {
          const mass = atRisk * way.chance;
          this.arrive(event.passage(way), mass, state, y);
          if (way.move !== null) staying -= mass;
        }
      }
      this.ends.close(stay, Math.max(0, staying), y);
    }
    return y;
  }

  private arrive({ way, to }: Passage<Aged | null>, mass: number, state: JointState, y: Float64Array): void {
    this.books.happened(way.passed, mass, state, "events");
    if (way.move === null) return;
    if (to === null) y[y.length - 1]! += mass;
    else this.ends.close(to, mass, y);
  }

  /** Amounts over time by cycle: membership at opening and closing, weighted as the counting rule says. */
  private accrue(x: Float64Array, y: Float64Array, rule: "start" | "end" | "middle" | "trapezoid"): void {
    const { books, dt } = this;
    const opening = rule === "start" ? 1 : rule === "end" ? 0 : 0.5;
    for (let i = 0; i < this.states.length; i++) {
      if (x[i] === 0 && y[i] === 0) continue;
      const atOpen = x[i]! * opening * dt;
      const atClose = y[i]! * (1 - opening) * dt;
      if (rule === "middle") books.counts("middle", books.c, atOpen + atClose);
      else books.countsAtBothEnds(atOpen, atClose);
      this.yearly(this.here(i), atOpen + atClose, x[i] === 0);
    }
  }

  /** Amounts over time by boundary: one weight on the opening membership. */
  private boundary(c: number, x: Float64Array, weight: number): void {
    this.books.c = Math.min(c, this.cycles - 1);
    for (let i = 0; i < this.states.length; i++) {
      if (x[i] === 0) continue;
      const years = x[i]! * weight * this.dt;
      this.books.counts("start", c, years);
      this.yearly(this.here(i), years, true);
    }
  }

  /** Yearly amounts of a state: lines over time, and rates that move nobody; `years` lived in it count those. */
  private yearly({ state, lines, rates, accruing }: Here, years: number, isNew: boolean): void {
    const { books } = this;
    books.out.lifeYears[books.c]! += years;
    for (const line of lines) books.line(line, state);
    // rates that move all whom they meet have been asked already, but where nobody was before
    for (const occasion of isNew ? rates : accruing) {
      const rate = occasion.rate(state);
      for (const way of occasion.ways(state)) {
        if (way.move === null) books.accrued(way.passed, rate * way.chance, years, state);
      }
    }
  }

  /** Opening membership at a boundary, and the curves there. */
  private record(c: number, x: Float64Array): void {
    this.atBoundary.at(this.boundaryMoment(c));
    this.books.out.membership.set(x, c * x.length);
    if (this.program.curves.length === 0) return;
    let alive = 0;
    for (let i = 0; i < this.states.length; i++) alive += x[i]!;
    for (const k of this.program.curves.keys()) {
      let sum = 0;
      for (let i = 0; i < this.states.length; i++) if (x[i] !== 0) sum += x[i]! * this.here(i).curves[k]!.now();
      this.books.out.curves[k * (this.cycles + 1) + c] = sum / alive;
    }
  }
}
