import { type Expansion, stateLabel } from "../compile/expand.ts";
import { calendars } from "../compile/instants.ts";
import type { EventForm, Program } from "../compile/program.ts";
import type { JointState, Movement } from "../compile/states.ts";
import { InputError } from "../errors.ts";
import { expm1 } from "../numerics/exp.ts";
import { Books, ofLane } from "./books.ts";
import { Combinations, type Standing } from "./combination.ts";
import type { Passage } from "./competing.ts";
import { type DiscountTable, discountTable } from "./discount.ts";
import { EventWalk } from "./event-walk.ts";
import { FormulaValues, type Moment } from "./formula-value.ts";
import { LevelEnds } from "./level-ends.ts";
import { OverTime } from "./over-time.ts";
import { Places } from "./places.ts";
import { Postings } from "./postings.ts";
import { addShares, copyTo, type Shares, setAll, startingShares, takeShares } from "./shares.ts";
import { type Aged, Standings } from "./standings.ts";
import type { Traced } from "./traced.ts";

/** What the referee finds once for all rows. */
interface Prepared {
  readonly program: Program;
  readonly expansion: Expansion;
  readonly combinations: Combinations;
  /** By entry. */
  readonly discounts: readonly DiscountTable[];
  readonly boundaries: boolean;
}

/** And for all rows of a strategy. */
interface Route {
  readonly standings: Standings;
  readonly postings: Postings;
}

/** What a trace holds beside amounts and events. */
export interface TraceOptions {
  /** Whether it is kept where people are at each boundary and how curves run there; else both are empty. Default: yes. */
  readonly boundaries?: boolean;
}

/**
 * The referee: evaluates one row for one strategy by walking factors, events and formulas as declared, one share of people
 * at a time, groups side by side. Plain; the fast evaluators must agree with it. What comes back evaluates a row, for the
 * groups given. What it throws is what is wrong with the first group in which something is: rate-negative,
 * chance-out-of-range, not-finite, crude-unreachable and table-range at the expression concerned.
 */
export function referee(
  program: Program,
  expansion: Expansion,
  { boundaries = true }: TraceOptions = {},
): (row: Float64Array, s: number, groups: readonly number[]) => readonly Traced[] {
  const tables = {
    costs: discountTable(program, "costs"),
    effects: discountTable(program, "effects"),
    none: discountTable(program, "none"),
  };
  const discounts = program.entries.map((entry) => tables[program.accounts[entry.account]!.discount]);
  const prepared = { program, expansion, combinations: new Combinations(program), discounts, boundaries };
  const routes = expansion.movements.map(
    (movement) =>
      movement && { standings: new Standings(expansion, movement), postings: new Postings(program, movement) },
  );
  return (row, s, groups) => {
    const route = routes[s];
    if (route === undefined || route === null) throw new Error(`strategy ${s} is not expanded`);
    const sideBySide = (some: readonly number[]): readonly Traced[] => new Reference(prepared, route, row, some).run();
    try {
      return sideBySide(groups);
    } catch (error) {
      if (!(error instanceof InputError) || groups.length === 1) throw error;
      // side by side, a group is asked about what nobody of it meets; alone it is not
      return groups.flatMap((group) => sideBySide([group]));
    }
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
  return referee(program, expansion)(row, s, [g])[0]!;
}

type Memory = ReturnType<typeof memoryFor>;

/** Room for what is worked out for each group at once. */
function memoryFor(lanes: number, states: number) {
  const numbers = (): Float64Array => new Float64Array(lanes);
  return {
    before: new Float64Array((states + 1) * lanes),
    share: numbers(),
    staying: numbers(),
    atRisk: numbers(),
    gone: numbers(),
    mass: numbers(),
    atOpen: numbers(),
    atClose: numbers(),
    alive: numbers(),
  };
}

class Reference {
  /** Values where formulas are evaluated in the cycle, and those at its opening boundary. */
  private readonly inCycle: FormulaValues;
  private readonly atBoundary: FormulaValues;
  private readonly overTime: OverTime;
  private readonly walk: EventWalk;
  private readonly ends: LevelEnds;
  private readonly books: Books;
  private readonly movement: Movement;
  private readonly states: readonly JointState[];
  private readonly places: Places;
  private readonly dt: number;
  private readonly cycles: number;
  private readonly program: Program;
  /** The place of the dead behind the joint states. */
  private readonly dead: number;
  /** By lane. */
  private readonly groups: readonly number[];
  private readonly lanes: number;
  private readonly memory: Memory;
  /** Means of the living, `[curve][boundary][group]`. */
  private readonly curves: Float64Array;
  /** Opening membership, `[boundary][state][group]`. */
  private readonly history: Float64Array;
  private readonly where = (who: Standing): string => {
    const { strategies, groups } = this.program;
    const ids = this.groups.map((group) => groups[group]!.id);
    return `in state ${stateLabel(this.program, who)}, cycle ${this.books.c}, strategy ${strategies[this.movement.strategy]!.id}, group ${ids.join()}`;
  };

  constructor(prepared: Prepared, route: Route, row: Float64Array, groups: readonly number[]) {
    const { program, expansion, combinations, discounts, boundaries } = prepared;
    const { movement } = route.standings;
    this.program = program;
    this.movement = movement;
    this.groups = groups;
    this.lanes = groups.length;
    this.states = expansion.states;
    this.memory = memoryFor(groups.length, this.states.length);
    this.dead = this.states.length;
    this.dt = program.grid.cycleYears;
    this.cycles = program.grid.cycles;
    this.inCycle = new FormulaValues(program, row, movement.strategy, groups, combinations);
    this.atBoundary = new FormulaValues(program, row, movement.strategy, groups, combinations);
    this.books = new Books(program, discounts, groups.length, this.where);
    this.overTime = new OverTime(this.books);
    const byBoundary = program.analysis.counting.rule === "boundary";
    const ground = { values: this.inCycle, postings: route.postings, where: this.where };
    this.walk = new EventWalk(ground, combinations);
    this.ends = new LevelEnds(program, this.books, this.walk, this.dead);
    const { walk, atBoundary } = this;
    const valuesOverTime = byBoundary ? atBoundary : this.inCycle;
    const walkOverTime = byBoundary ? new EventWalk({ ...ground, values: valuesOverTime }, combinations) : walk;
    const askers = { walk, atBoundary, walkOverTime, valuesOverTime };
    const curves = boundaries ? program.curves : [];
    this.places = new Places(this.states, route, askers, this.overTime, curves);
    this.curves = new Float64Array(curves.length * (this.cycles + 1) * groups.length);
    this.history = new Float64Array(boundaries ? (this.cycles + 1) * (this.states.length + 1) * groups.length : 0);
  }

  /** The traces, one for each group. */
  run(): readonly Traced[] {
    const { counting } = this.program.analysis;
    const due = calendars(this.groups.map((group) => this.movement.firings(group)));
    this.books.c = 0;
    this.atBoundary.at(this.boundaryMoment(0));
    let x = startingShares(this.program, this.states, this.atBoundary);
    let y: Shares = new Float64Array(x.length);
    for (let c = 0; c < this.cycles; c++) {
      this.books.c = c;
      this.inCycle.at(this.momentOf(c));
      for (const { events, some } of due) for (const fired of events.get(c) ?? []) this.instant(fired, x, some);
      this.record(c, x);
      this.cycle(x, y);
      if (counting.rule === "boundary") this.boundary(c, x, counting.weights[c]!);
      else this.accrue(x, y, counting.rule);
      [x, y] = [y, x];
    }
    this.books.c = this.cycles - 1;
    this.record(this.cycles, x);
    if (counting.rule === "boundary") this.boundary(this.cycles, x, counting.weights[this.cycles]!);
    const { lanes } = this;
    return this.groups.map((_, lane) => ({
      ...this.books.booked(lane),
      membership: ofLane(this.history, lane, lanes),
      curves: ofLane(this.curves, lane, lanes),
    }));
  }

  private momentOf(c: number): Moment {
    const { cyclesPerYear, evaluateAt } = this.program.grid;
    return { cycle: c, time: (c + evaluateAt) / cyclesPerYear, startTime: c / cyclesPerYear };
  }

  private boundaryMoment(c: number): Moment {
    const time = c / this.program.grid.cyclesPerYear;
    return { cycle: c, time, startTime: time };
  }

  /**
   * Step 1 for some groups: one event at the opening boundary, in the form that fits, on those at risk when its turn comes;
   * changes `x`.
   */
  private instant(fired: readonly (readonly [EventForm, number])[], x: Shares, some: readonly number[]): void {
    const { lanes } = this;
    const { before } = this.memory;
    before.set(x);
    for (let i = 0; i < this.states.length; i++) {
      const from = i * lanes;
      if (some.every((lane) => before[from + lane] === 0)) continue;
      const { state, instants } = this.places.at(i);
      for (const [form, position] of fired) {
        const event = instants.get(form);
        if (event === undefined) continue;
        const ways = event.occasion.ways(state);
        const share = this.walk.instantShare(form, position);
        for (const lane of some) {
          const here = before[from + lane]!;
          if (here === 0) continue;
          const all = event.occasion.takesAll(state, lane);
          if (all) x[from + lane]! -= here;
          for (const way of ways) {
            const part = here * share * way.chance[lane]!;
            this.books.happenedTo(lane, way, part, state);
            if (way.move === null) continue;
            if (!all) x[from + lane]! -= part;
            x[event.passage(way).to * lanes + lane]! += part;
          }
        }
      }
    }
  }

  /** Steps 2 to 4 for everybody; writes the closing membership. */
  private cycle(x: Shares, y: Shares): void {
    const { lanes, dt } = this;
    const { share, staying, atRisk, gone, mass } = this.memory;
    y.fill(0);
    takeShares(x, this.dead, share);
    addShares(y, this.dead, share);
    for (let i = 0; i < this.states.length; i++) {
      if (!takeShares(x, i, share)) continue;
      const { state, competing, chances, stay } = this.places.at(i);
      const passages = competing.ways(state, this.where);
      const { total } = competing;
      for (let g = 0; g < lanes; g++) gone[g] = total[g]! > 0 ? -expm1(-total[g]! * dt) : 0;
      for (const passage of passages) {
        const { rate } = passage;
        for (let g = 0; g < lanes; g++) mass[g] = total[g]! > 0 ? share[g]! * ((rate[g]! / total[g]!) * gone[g]!) : 0;
        this.arrive(passage, mass, state, y);
      }
      for (let g = 0; g < lanes; g++) staying[g] = share[g]! - share[g]! * gone[g]!;
      for (const event of chances) {
        copyTo(atRisk, staying);
        for (const way of event.occasion.ways(state)) {
          for (let g = 0; g < lanes; g++) mass[g] = atRisk[g]! * way.chance[g]!;
          this.arrive(event.passage(way), mass, state, y);
          if (way.move !== null) for (let g = 0; g < lanes; g++) staying[g]! -= mass[g]!;
        }
      }
      for (let g = 0; g < lanes; g++) staying[g] = Math.max(0, staying[g]!);
      this.ends.close(stay, staying, y);
    }
    this.books.bookEvents(this.walk.occasions);
  }

  private arrive({ way, to }: Passage<Aged | null>, mass: Float64Array, state: JointState, y: Shares): void {
    this.books.happened(way, mass, state);
    if (way.move === null) return;
    if (to === null) addShares(y, this.dead, mass);
    else this.ends.close(to, mass, y);
  }

  /** Amounts over time by cycle: membership at opening and closing, weighted as the counting rule says. */
  private accrue(x: Shares, y: Shares, rule: "start" | "end" | "middle" | "trapezoid"): void {
    const opening = rule === "start" ? 1 : rule === "end" ? 0 : 0.5;
    const { atOpen, atClose } = this.memory;
    for (let i = 0; i < this.states.length; i++) {
      const some = takeShares(x, i, atOpen);
      if (!takeShares(y, i, atClose) && !some) continue;
      let isNew = false;
      for (let g = 0; g < atOpen.length; g++) {
        isNew ||= atOpen[g] === 0;
        atOpen[g] = atOpen[g]! * opening * this.dt;
        atClose[g] = atClose[g]! * (1 - opening) * this.dt;
      }
      this.overTime.lived(this.places.at(i).accrues, atOpen, atClose, isNew);
    }
    this.overTime.book(rule === "middle" ? "middle" : "both ends", this.books.c);
  }

  /** Amounts over time by boundary: one weight on the opening membership. */
  private boundary(c: number, x: Shares, weight: number): void {
    this.books.c = Math.min(c, this.cycles - 1);
    const { atOpen, atClose } = this.memory;
    setAll(atClose, 0);
    for (let i = 0; i < this.states.length; i++) {
      if (!takeShares(x, i, atOpen)) continue;
      for (let g = 0; g < atOpen.length; g++) atOpen[g] = atOpen[g]! * weight * this.dt;
      this.overTime.lived(this.places.at(i).accrues, atOpen, atClose, true);
    }
    this.overTime.book("start", c);
  }

  /** Opening membership at a boundary, and the curves there. */
  private record(c: number, x: Shares): void {
    this.atBoundary.at(this.boundaryMoment(c));
    if (this.history.length === 0) return;
    this.history.set(x, c * x.length);
    if (this.curves.length === 0) return;
    const boundaries = this.cycles + 1;
    const { share, alive } = this.memory;
    const { curves } = this;
    setAll(alive, 0);
    for (let i = 0; i < this.states.length; i++) {
      if (!takeShares(x, i, share)) continue;
      for (let g = 0; g < share.length; g++) alive[g]! += share[g]!;
      const here = this.places.at(i).curves;
      for (let k = 0; k < here.length; k++) {
        const values = here[k]!.now();
        const from = (k * boundaries + c) * share.length;
        for (let g = 0; g < share.length; g++) if (share[g] !== 0) curves[from + g]! += share[g]! * values[g]!;
      }
    }
    for (let k = 0; k < this.program.curves.length; k++) {
      const from = (k * boundaries + c) * share.length;
      for (let g = 0; g < share.length; g++) curves[from + g] = curves[from + g]! / alive[g]!;
    }
  }
}
