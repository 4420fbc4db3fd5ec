import type { Expansion } from "../compile/expand.ts";
import { stateLabel } from "../compile/expand.ts";
import { firings } from "../compile/instants.ts";
import type { Branch, EventForm, Move, Posting, Program } from "../compile/program.ts";
import { type AgedState, combinedMove, type JointState, type Movement, stateKey } from "../compile/states.ts";
import { inputError } from "../errors.ts";
import { crudeHazard } from "../numerics/crude-incidence.ts";
import { expm1 } from "../numerics/exp.ts";
import { type DiscountTable, discountTable } from "./discount.ts";
import { FormulaValues, type Moment } from "./formula-value.ts";
import type { Traced } from "./traced.ts";

/** One way through an event's branches: the nodes passed, the chance of it, the move it makes. */
interface Leaf {
  readonly nodes: readonly Branch[];
  readonly chance: number;
  readonly move: Move | null;
}

const sumTolerance = 1e-12;

/**
 * The referee: evaluates one row for one strategy and one group by walking factors, events and formulas as declared,
 * one person's share at a time. Slow and plain; the fast evaluators must agree with it.
 * Throws rate-negative, chance-out-of-range, not-finite, crude-unreachable and table-range at the expression concerned.
 */
export function evaluateReference(program: Program, expansion: Expansion, row: Float64Array, s: number, g: number): Traced {
  const movement = expansion.movements[s];
  if (movement === undefined || movement === null) throw new Error(`strategy ${s} is not expanded`);
  return new Reference(program, expansion, movement, row, s, g).run();
}

class Reference {
  private readonly values: FormulaValues;
  private readonly discounts: readonly DiscountTable[];
  private readonly out: Traced;
  private readonly states: readonly JointState[];
  private readonly dt: number;
  private readonly cycles: number;
  private readonly postingsOfPath: readonly (readonly (Posting & { by: "event" })[])[];
  private readonly postingsOfResource: readonly (readonly (Posting & { by: "resource" })[])[];
  private c = 0;

  private readonly program: Program;
  private readonly expansion: Expansion;
  private readonly movement: Movement;
  private readonly s: number;
  private readonly g: number;

  constructor(program: Program, expansion: Expansion, movement: Movement, row: Float64Array, s: number, g: number) {
    this.program = program;
    this.expansion = expansion;
    this.movement = movement;
    this.s = s;
    this.g = g;
    this.states = expansion.states;
    this.dt = program.grid.cycleYears;
    this.cycles = program.grid.cycles;
    this.values = new FormulaValues(program, row, s, g);
    const tables = { costs: discountTable(program, "costs"), effects: discountTable(program, "effects"), none: discountTable(program, "none") };
    this.discounts = program.entries.map((entry) => tables[program.accounts[entry.account]!.discount]);
    const by = <B extends "event" | "resource">(kind: B) => program.postings.filter((posting): posting is Posting & { by: B } => posting.by === kind);
    this.postingsOfPath = program.paths.map((_, path) => by("event").filter((posting) => posting.path === path && posting.strategies[s]));
    this.postingsOfResource = program.resources.map((_, resource) => by("resource").filter((posting) => posting.resource === resource));
    const n = this.states.length;
    const T = this.cycles;
    this.out = {
      raw: new Float64Array(program.entries.length * T),
      discounted: new Float64Array(program.entries.length * T),
      absolute: new Float64Array(program.entries.length),
      events: new Float64Array(program.paths.length * T),
      resources: new Float64Array(program.resources.length * T),
      membership: new Float64Array((T + 1) * (n + 1)),
      curves: new Float64Array(program.curves.length * (T + 1)),
      lifeYears: new Float64Array(T),
    };
  }

  run(): Traced {
    const { counting } = this.program.analysis;
    const n = this.states.length;
    const firing = firings(this.program, this.s, this.g);
    let x = this.start();
    for (let c = 0; c < this.cycles; c++) {
      this.c = c;
      this.values.at(this.momentOf(c));
      for (const [form, cycles] of firing) {
        const position = cycles.get(c);
        if (position !== undefined) x = this.instant(form, position, x);
      }
      this.record(c, x);
      const y = this.cycle(x);
      if (counting.rule === "boundary") this.boundary(c, x, counting.weights[c]!);
      else {
        this.values.at(this.momentOf(c));
        this.accrue(x, y, counting.rule);
      }
      x = y;
    }
    this.c = this.cycles - 1;
    this.record(this.cycles, x);
    if (counting.rule === "boundary") this.boundary(this.cycles, x, counting.weights[this.cycles]!);
    if (x.length !== n + 1) throw new Error("membership lost its shape");
    return this.out;
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
    return `in state ${stateLabel(this.program, state)}, cycle ${this.c}, strategy ${strategies[this.s]!.id}, group ${groups[this.g]!.id}`;
  }

  /** The shares of the joint states at the start; factors are independent. */
  private start(): Float64Array {
    this.c = 0;
    this.values.at(this.boundaryMoment(0));
    const x = new Float64Array(this.states.length + 1);
    const nobody = { levels: this.program.factors.map(() => 0), clocks: this.program.factors.map(() => 0) };
    const shares = this.program.factors.map((factor) => {
      const list = factor.start.map((share) => (share === null ? 0 : this.values.value(share, nobody)));
      const sum = list.reduce((total, share) => total + share, 0);
      const wrong = list.find((share) => !(share >= 0 && share <= 1 + sumTolerance));
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

  /** Step 1: one event at the opening boundary, on those at risk when its turn comes. */
  private instant(form: EventForm, position: number, x: Float64Array): Float64Array {
    const y = Float64Array.from(x);
    for (const [i, state] of this.states.entries()) {
      if (x[i] === 0 || this.movement.formsFor(state, (one) => one === form).length === 0) continue;
      const mass = x[i]! * this.instantShare(form, position);
      for (const leaf of this.leaves(form, state)) {
        const part = mass * leaf.chance;
        this.happened(leaf, part, state, "start");
        if (leaf.move !== null) {
          y[i]! -= part;
          y[this.target(state, leaf.move)]! += part;
        }
      }
    }
    return y;
  }

  /** Of those still at risk, the share whose instant this is, when shares over a list of instants are given. */
  private instantShare(form: EventForm, position: number): number {
    if (form.timing.when !== "instant" || form.timing.shares === null) return 1;
    const offsets = this.program.inputs[form.timing.shares]!.offsets[this.s]!;
    let left = 0;
    for (let k = offsets.length - 1; k >= position; k--) left += this.values.row[offsets[k]!]!;
    return left > 0 ? this.values.row[offsets[position]!]! / left : 0;
  }

  private target(state: JointState, move: Move): number {
    if (move === "dead") return this.states.length;
    return this.indexOf(this.movement.moved(state, move));
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
        this.happened(leaf, mass, state, "events");
        if (leaf.move === "dead") y[y.length - 1]! += mass;
        else if (leaf.move !== null) {
          const moved = this.movement.moved(state, leaf.move);
          this.endOfCycle(this.movement.aged(moved, moved.entered), mass, y);
        }
      };
      const rates = this.competing(state);
      const total = rates.reduce((sum, { rate }) => sum + rate, 0);
      if (total > 0) {
        const gone = -expm1(-total * this.dt);
        for (const { leaf, rate } of rates) arrive(leaf, x[i]! * ((rate / total) * gone));
        staying -= x[i]! * gone;
      }
      for (const form of this.movement.formsFor(state, ({ timing }) => timing.when === "chance")) {
        const atRisk = staying;
        for (const leaf of this.leaves(form, state)) {
          const mass = atRisk * leaf.chance;
          arrive(leaf, mass);
          if (leaf.move !== null) staying -= mass;
        }
      }
      this.endOfCycle(this.movement.aged(state, null), staying, y);
    }
    return y;
  }

  /** Step 2: all moving ways of the rate events that apply to a state, with their yearly rates. */
  private competing(state: JointState): readonly { readonly leaf: Leaf; readonly rate: number }[] {
    const found: { leaf: Leaf; rate: number }[] = [];
    const crude: { leaf: Leaf; incidence: number; form: EventForm }[] = [];
    for (const form of this.movement.formsFor(state, ({ moves, timing }) => moves && (timing.when === "rate" || timing.when === "crude"))) {
      const yearly = this.rateOf(form, state);
      for (const leaf of this.leaves(form, state)) {
        if (leaf.move === null) continue;
        if (form.timing.when === "crude") crude.push({ leaf, incidence: yearly * leaf.chance, form });
        else found.push({ leaf, rate: yearly * leaf.chance });
      }
    }
    if (crude.length === 0) return found;
    const others = found.reduce((sum, { rate }) => sum + rate, 0);
    const incidence = crude.reduce((sum, one) => sum + one.incidence, 0);
    const { timing, source } = crude[0]!.form;
    const years = timing.when === "crude" ? timing.years : 1;
    const hazard = crudeHazard(incidence, others, years);
    if (!Number.isFinite(hazard)) throw inputError(source.place, "crude-unreachable", String(incidence), this.where(state));
    for (const one of crude) found.push({ leaf: one.leaf, rate: incidence === 0 ? 0 : (hazard * one.incidence) / incidence });
    return found;
  }

  private rateOf(form: EventForm, state: JointState): number {
    const { timing } = form;
    const node = timing.when === "rate" ? timing.rate : timing.when === "crude" ? timing.incidence : null;
    const rate = node === null ? 0 : this.values.value(node, state);
    if (!Number.isFinite(rate)) throw inputError(form.source.place, "not-finite", String(rate), this.where(state));
    if (rate < 0) throw inputError(form.source.place, "rate-negative", String(rate), this.where(state));
    return rate;
  }

  /** All ways through an event's branches with their chances, those who do none of its branches included. */
  private leaves(form: EventForm, state: JointState): readonly Leaf[] {
    const leaves: Leaf[] = [];
    const visit = (branch: Branch, nodes: readonly Branch[], chance: number, above: Move | null): void => {
      const passed = [...nodes, branch];
      const move = combinedMove(above, branch.move);
      if (branch.children.length === 0) {
        leaves.push({ nodes: passed, chance, move });
        return;
      }
      let left = 1;
      for (const child of branch.children) {
        if (child.rest) continue;
        const p = this.chanceOf(child, state);
        left -= p;
        visit(child, passed, chance * p, move);
      }
      if (left < -sumTolerance) throw inputError(branch.source.place, "chance-out-of-range", `branches sum to ${1 - left}`, this.where(state));
      left = Math.max(0, left);
      const rest = branch.children.find((child) => child.rest);
      if (rest !== undefined) visit(rest, passed, chance * left, move);
      else if (left > 0) leaves.push({ nodes: passed, chance: chance * left, move });
    };
    visit(form.root, [], this.chanceOf(form.root, state), null);
    return leaves;
  }

  private chanceOf(branch: Branch, state: JointState): number {
    if (branch.chance === null) return 1;
    const p = this.values.value(branch.chance, state);
    if (!Number.isFinite(p)) throw inputError(branch.source.place, "not-finite", String(p), this.where(state));
    if (p < 0 || p > 1 + sumTolerance) throw inputError(branch.source.place, "chance-out-of-range", String(p), this.where(state));
    return p;
  }

  /** Step 4: what the end of levels does to those in an aged state. */
  private endOfCycle(aged: AgedState, mass: number, y: Float64Array): void {
    let open: readonly { readonly state: AgedState; readonly mass: number }[] = [{ state: aged, mass }];
    const seen = new Set<number>();
    for (const { event } of this.program.events) {
      if (seen.has(event)) continue;
      seen.add(event);
      open = open.flatMap((one) => {
        const form = this.movement.formsFor(one.state, (candidate) => candidate.event === event)[0];
        if (form === undefined || !this.movement.fires(form, one.state)) return [one];
        let staying = one.mass;
        const moved: { state: AgedState; mass: number }[] = [];
        for (const leaf of this.leaves(form, one.state)) {
          const part = one.mass * leaf.chance;
          this.happened(leaf, part, one.state, "end");
          if (leaf.move === null) continue;
          staying -= part;
          if (leaf.move === "dead") y[y.length - 1]! += part;
          else moved.push({ state: this.movement.movedAged(one.state, leaf.move), mass: part });
        }
        return staying === 0 ? moved : [{ state: one.state, mass: staying }, ...moved];
      });
    }
    for (const one of open) y[this.indexOf(this.movement.settled(one.state))]! += one.mass;
  }

  /** Counts one way through an event for a share of people: events, resources, amounts on the event. */
  private happened(leaf: Leaf, mass: number, state: JointState, point: "start" | "events" | "end"): void {
    if (mass === 0) return;
    for (const branch of leaf.nodes) {
      this.out.events[branch.path * this.cycles + this.c]! += mass;
      this.used(branch, mass, state, (entry, amount) => this.post(entry, amount, this.discounts[entry]![point][this.c]!));
    }
  }

  /** Resources and event amounts of a branch for `mass` cases, each passed on to `post`. */
  private used(branch: Branch, mass: number, state: JointState, post: (entry: number, amount: number) => void): void {
    for (const use of branch.uses) {
      const amount = mass * this.amount(use.amount, use.source, state);
      this.out.resources[use.resource * this.cycles + this.c]! += amount;
      const resource = this.program.resources[use.resource]!;
      const price = this.amount(resource.price, resource.source, state);
      for (const posting of this.postingsOfResource[use.resource]!) post(posting.entry, amount * price);
    }
    for (const posting of this.postingsOfPath[branch.path]!) {
      if (this.movement.admits(posting.match, state)) post(posting.entry, mass * this.amount(posting.amount, posting.source, state));
    }
  }

  private amount(node: Parameters<FormulaValues["value"]>[0], source: EventForm["source"], state: JointState): number {
    const value = this.values.value(node, state);
    if (!Number.isFinite(value)) throw inputError(source.place, "not-finite", String(value), this.where(state));
    return value;
  }

  private post(entry: number, amount: number, factor: number): void {
    const at = entry * this.cycles + this.c;
    this.out.raw[at]! += amount;
    this.out.discounted[at]! += amount * factor;
    this.out.absolute[entry]! += Math.abs(amount * factor);
  }

  /** Amounts over time by cycle: membership at opening and closing, weighted as the counting rule says. */
  private accrue(x: Float64Array, y: Float64Array, rule: "start" | "end" | "middle" | "trapezoid"): void {
    const opening = rule === "start" ? 1 : rule === "end" ? 0 : 0.5;
    for (const [i, state] of this.states.entries()) {
      if (x[i] === 0 && y[i] === 0) continue;
      const atOpen = x[i]! * opening * this.dt;
      const atClose = y[i]! * (1 - opening) * this.dt;
      this.out.lifeYears[this.c]! += atOpen + atClose;
      this.overTime(state, atOpen + atClose, (entry, amount) => {
        const v = this.discounts[entry]!;
        if (rule === "middle") this.post(entry, amount * (atOpen + atClose), v.middle[this.c]!);
        else {
          if (atOpen !== 0) this.post(entry, amount * atOpen, v.start[this.c]!);
          if (atClose !== 0) this.post(entry, amount * atClose, v.end[this.c]!);
        }
      });
    }
  }

  /** Amounts over time by boundary: one weight on the opening membership. */
  private boundary(c: number, x: Float64Array, weight: number): void {
    this.c = Math.min(c, this.cycles - 1);
    this.values.at(this.boundaryMoment(c));
    for (const [i, state] of this.states.entries()) {
      if (x[i] === 0) continue;
      const years = x[i]! * weight * this.dt;
      this.out.lifeYears[this.c]! += years;
      this.overTime(state, years, (entry, amount) => this.post(entry, amount * years, this.discounts[entry]!.start[c]!));
    }
  }

  /** Yearly amounts of a state: lines over time, and rates that move nobody; `years` lived in it count those. */
  private overTime(state: JointState, years: number, post: (entry: number, amountPerYear: number) => void): void {
    for (const posting of this.program.postings) {
      if (posting.by !== "time" || !posting.strategies[this.s] || !this.movement.admits(posting.match, state)) continue;
      post(posting.entry, this.amount(posting.amount, posting.source, state));
    }
    for (const form of this.movement.formsFor(state, ({ timing }) => timing.when === "rate")) {
      const yearly = this.rateOf(form, state);
      for (const leaf of this.leaves(form, state)) {
        if (leaf.move !== null) continue;
        const rate = yearly * leaf.chance;
        for (const branch of leaf.nodes) {
          this.out.events[branch.path * this.cycles + this.c]! += rate * years;
          this.usedOverTime(branch, rate, years, state, post);
        }
      }
    }
  }

  private usedOverTime(branch: Branch, rate: number, years: number, state: JointState, post: (entry: number, amountPerYear: number) => void): void {
    for (const use of branch.uses) {
      const amount = rate * this.amount(use.amount, use.source, state);
      this.out.resources[use.resource * this.cycles + this.c]! += amount * years;
      const resource = this.program.resources[use.resource]!;
      const price = this.amount(resource.price, resource.source, state);
      for (const posting of this.postingsOfResource[use.resource]!) post(posting.entry, amount * price);
    }
    for (const posting of this.postingsOfPath[branch.path]!) {
      if (this.movement.admits(posting.match, state)) post(posting.entry, rate * this.amount(posting.amount, posting.source, state));
    }
  }

  /** Opening membership at a boundary, and the curves there. */
  private record(c: number, x: Float64Array): void {
    this.out.membership.set(x, c * x.length);
    if (this.program.curves.length === 0) return;
    this.values.at(this.boundaryMoment(c));
    const alive = x.subarray(0, x.length - 1).reduce((sum, share) => sum + share, 0);
    for (const [k, curve] of this.program.curves.entries()) {
      let sum = 0;
      for (const [i, state] of this.states.entries()) if (x[i] !== 0) sum += x[i]! * this.values.value(curve.node, state);
      this.out.curves[k * (this.cycles + 1) + c] = sum / alive;
    }
    this.values.at(this.momentOf(Math.min(c, this.cycles - 1)));
  }
}
