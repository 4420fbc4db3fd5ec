import { type Amount, type Amounts, isSteady } from "./amounts.ts";
import type { Asked, Demands } from "./demands.ts";
import type { Expansion } from "./expand.ts";
import type { When } from "./instances.ts";
import type { EventForm, Program } from "./program.ts";
import { type AgedState, type JointState, type Movement, movesOf, stateKey } from "./states.ts";
import { takesAll, type Way, waysThrough } from "./ways.ts";

/** The smallest normal number. */
const smallest = 2 ** -1022;

/** Where in a cycle what happens once counts: step 1, steps 2 and 3, step 4. */
export type Point = "start" | "events" | "end";

/** What a person is worth to an account: a coefficient times a factor that is the same in all cycles. */
export interface Worth {
  readonly account: number;
  readonly coefficient: number;
  readonly factor: number;
}

/** What becomes of those in one joint state, each coefficient a share of them. The dead are those who are missing. */
export interface Transition {
  /** Joint states with the shares that go there. */
  readonly moves: ReadonlyMap<number, number>;
  /** What happens once. */
  readonly booked: readonly (Worth & { readonly point: Point })[];
  readonly asked: readonly Asked[];
}

/** What a year in one joint state is worth. */
export interface YearlyAmounts {
  readonly worths: readonly Worth[];
  readonly asked: readonly Asked[];
}

/** Rules of one strategy turned into coefficients, state by state, in the order of the referee's walk. */
export class Transitions {
  private readonly program: Program;
  private readonly expansion: Expansion;
  private readonly movement: Movement;
  private readonly demands: Demands;
  private readonly amounts: Amounts;
  private readonly endings: readonly number[];
  private moves = new Map<number, number>();
  private booked = new Map<string, Worth & { readonly point: Point }>();

  constructor(program: Program, expansion: Expansion, movement: Movement, demands: Demands, amounts: Amounts) {
    this.program = program;
    this.expansion = expansion;
    this.movement = movement;
    this.demands = demands;
    this.amounts = amounts;
    const ending = program.events.filter(({ timing }) => timing.when === "ends" || timing.when === "after");
    this.endings = [...new Set(ending.map(({ event }) => event))];
  }

  /** Step 1: one form on those in a state at risk; `share` of them have this instant. The state itself: who stays. */
  instant(form: EventForm, share: number, i: number, when: When): Transition {
    const { graph } = this.demands;
    const state = this.expansion.states[i]!;
    const ways = waysThrough(form, state, when, this.demands);
    let staying = graph.constant(1);
    for (const way of ways) {
      const part = graph.two("multiply", share, way.chance);
      this.book(way, part, state, when, "start");
      if (way.move === null) continue;
      staying = graph.two("subtract", staying, part);
      if (way.move !== "dead") this.arrive(this.movement.moved(state, way.move), part);
    }
    if (!takesAll(form, ways)) this.arrive(state, staying);
    return this.taken();
  }

  /** Steps 2 to 4 for those in a state. */
  cycle(i: number, when: When): Transition {
    const { graph } = this.demands;
    const state = this.expansion.states[i]!;
    const happens = (way: Way, part: number): void => {
      this.book(way, part, state, when, "events");
      if (way.move === null || way.move === "dead") return;
      const moved = this.movement.moved(state, way.move);
      this.endOfCycle(this.movement.aged(moved, moved.entered), part, when);
    };
    let staying = graph.constant(1);
    const rates = this.competing(state, when);
    if (rates.length > 0) {
      const dt = graph.constant(this.program.grid.cycleYears);
      const minusTotal = graph.one("negate", this.sum(rates.map(({ rate }) => rate)));
      const minusGone = graph.one("expm1", graph.two("multiply", minusTotal, dt));
      if (rates.length === 1) happens(rates[0]!.way, graph.one("negate", minusGone));
      else {
        // a total below the smallest normal number moves nobody, and 0 must not divide
        const divisor = graph.two("min", minusTotal, graph.constant(-smallest));
        const perRate = graph.two("divide", minusGone, divisor);
        for (const { way, rate } of rates) happens(way, graph.two("multiply", rate, perRate));
      }
      staying = graph.two("add", staying, minusGone);
    }
    for (const form of this.movement.formsFor(state, ({ timing }) => timing.when === "chance")) {
      const atRisk = staying;
      for (const way of waysThrough(form, state, when, this.demands)) {
        const part = graph.two("multiply", atRisk, way.chance);
        happens(way, part);
        if (way.move !== null) staying = graph.two("subtract", staying, part);
      }
    }
    this.endOfCycle(this.movement.aged(state, null), staying, when);
    return this.taken();
  }

  /** Amounts over time in a state: lines, and rates that move nobody. */
  overTime(i: number, when: When): YearlyAmounts {
    const { graph } = this.demands;
    const state = this.expansion.states[i]!;
    const one = graph.constant(1);
    const worths = this.amounts.perYear(state, when).map((amount) => this.worth(amount, one));
    const quiet = ({ timing, root }: EventForm) => timing.when === "rate" && movesOf(root).includes(null);
    for (const form of this.movement.formsFor(state, quiet)) {
      if (form.timing.when !== "rate") continue;
      const yearly = this.demands.value("rate", form.timing.rate, state, when);
      for (const way of waysThrough(form, state, when, this.demands)) {
        if (way.move !== null) continue;
        const rate = graph.two("multiply", yearly, way.chance);
        const amounts = this.amounts.perCase(way.branches, state, when, null);
        worths.push(...amounts.map((amount) => this.worth(amount, rate)));
      }
    }
    return { worths, asked: this.demands.taken() };
  }

  /** Step 2: all moving ways of the rate events that apply to a state, with their yearly rates. */
  private competing(state: JointState, when: When): readonly { readonly way: Way; readonly rate: number }[] {
    const { graph } = this.demands;
    const found: { way: Way; rate: number }[] = [];
    const crude: { way: Way; incidence: number; years: number }[] = [];
    const moving = this.movement.formsFor(
      state,
      ({ moves, timing }) => moves && (timing.when === "rate" || timing.when === "crude"),
    );
    for (const form of moving) {
      const { timing } = form;
      if (timing.when !== "rate" && timing.when !== "crude") continue;
      const given = timing.when === "rate" ? timing.rate : timing.incidence;
      const yearly = this.demands.value("rate", given, state, when);
      for (const way of waysThrough(form, state, when, this.demands)) {
        if (way.move === null) continue;
        const part = graph.two("multiply", yearly, way.chance);
        if (timing.when === "crude") crude.push({ way, incidence: part, years: timing.years });
        else found.push({ way, rate: part });
      }
    }
    if (crude.length === 0) return found;
    const others = this.sum(found.map(({ rate }) => rate));
    const incidence = this.sum(crude.map((one) => one.incidence));
    const solved = graph.crude(incidence, others, crude[0]!.years);
    const hazard = this.demands.node("finite", solved);
    const none = graph.two("equal", incidence, graph.constant(0));
    for (const one of crude) {
      const share = graph.two("divide", graph.two("multiply", hazard, one.incidence), incidence);
      found.push({ way: one.way, rate: crude.length === 1 ? hazard : graph.choose(none, graph.constant(0), share) });
    }
    return found;
  }

  /** Step 4: what the end of levels does to those in an aged state. */
  private endOfCycle(aged: AgedState, share: number, when: When): void {
    const { graph } = this.demands;
    let open: readonly { readonly state: AgedState; readonly share: number }[] = [{ state: aged, share }];
    for (const event of this.endings) {
      open = open.flatMap((one) => {
        const form = this.movement.formsFor(one.state, (candidate) => candidate.event === event)[0];
        if (form === undefined || !this.movement.fires(form, one.state)) return [one];
        let staying = one.share;
        const moved: { state: AgedState; share: number }[] = [];
        const ways = waysThrough(form, one.state, when, this.demands);
        for (const way of ways) {
          const part = graph.two("multiply", one.share, way.chance);
          this.book(way, part, one.state, when, "end");
          if (way.move === null) continue;
          staying = graph.two("subtract", staying, part);
          if (way.move !== "dead") moved.push({ state: this.movement.movedAged(one.state, way.move), share: part });
        }
        return takesAll(form, ways) ? moved : [{ state: one.state, share: staying }, ...moved];
      });
    }
    for (const one of open) this.arrive(this.movement.settled(one.state), one.share);
  }

  private book(way: Way, part: number, who: JointState, when: When, point: Point): void {
    const { graph } = this.demands;
    if (graph.valueOf(part) === 0) return;
    for (const amount of this.amounts.perCase(way.branches, who, when, part)) {
      const worth = this.worth(amount, part);
      const key = `${point} ${worth.account} ${worth.factor}`;
      const before = this.booked.get(key)?.coefficient;
      const coefficient = before === undefined ? worth.coefficient : graph.two("add", before, worth.coefficient);
      this.booked.set(key, { ...worth, coefficient, point });
    }
  }

  private worth({ account, node }: Amount, part: number): Worth {
    const { graph } = this.demands;
    return isSteady(graph, node)
      ? { account, coefficient: part, factor: node }
      : { account, coefficient: graph.two("multiply", part, node), factor: graph.constant(1) };
  }

  private arrive(state: JointState, share: number): void {
    if (this.demands.graph.valueOf(share) === 0) return;
    const index = this.expansion.index.get(stateKey(state));
    if (index === undefined) throw new Error(`unexpected joint state ${stateKey(state)}`);
    const before = this.moves.get(index);
    this.moves.set(index, before === undefined ? share : this.demands.graph.two("add", before, share));
  }

  private taken(): Transition {
    const { moves, booked } = this;
    this.moves = new Map();
    this.booked = new Map();
    return { moves, booked: [...booked.values()], asked: this.demands.taken() };
  }

  private sum(nodes: readonly number[]): number {
    const { graph } = this.demands;
    return nodes.length === 0 ? graph.constant(0) : nodes.reduce((left, right) => graph.two("add", left, right));
  }
}
