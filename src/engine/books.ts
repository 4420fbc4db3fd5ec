import type { Bound } from "../compile/bound.ts";
import type { Branch, Posting, Program } from "../compile/program.ts";
import type { Movement } from "../compile/states.ts";
import { inputError } from "../errors.ts";
import type { ExpressionSource } from "../schema/document.ts";
import { type DiscountTable, discountTable } from "./discount.ts";
import type { Leaf } from "./event-walk.ts";
import type { FormulaValues, Standing } from "./formula-value.ts";
import type { Traced } from "./traced.ts";

/** Takes a yearly amount of an entry. */
export type Take = (entry: number, amountPerYear: number) => void;

/** Keeps what happens: events, resources, and money and effects by entry and cycle, discounted and not. */
export class Books {
  readonly out: Traced;
  readonly discounts: readonly DiscountTable[];
  /** The cycle that amounts are booked in. */
  c = 0;
  private readonly program: Program;
  private readonly movement: Movement;
  private readonly values: FormulaValues;
  private readonly where: (state: Standing) => string;
  private readonly cycles: number;
  private readonly overTimePostings: readonly (Posting & { by: "time" })[];
  private readonly postingsOfPath: readonly (readonly (Posting & { by: "event" })[])[];
  private readonly postingsOfResource: readonly (readonly (Posting & { by: "resource" })[])[];

  constructor(
    program: Program,
    movement: Movement,
    values: FormulaValues,
    states: number,
    where: (state: Standing) => string,
  ) {
    this.program = program;
    this.movement = movement;
    this.values = values;
    this.where = where;
    this.cycles = program.grid.cycles;
    const s = movement.strategy;
    const tables = {
      costs: discountTable(program, "costs"),
      effects: discountTable(program, "effects"),
      none: discountTable(program, "none"),
    };
    this.discounts = program.entries.map((entry) => tables[program.accounts[entry.account]!.discount]);
    const by = <B extends Posting["by"]>(kind: B) =>
      program.postings.filter((posting): posting is Posting & { by: B } => posting.by === kind);
    this.overTimePostings = by("time").filter((posting) => posting.strategies[s]);
    const onEvents = by("event").filter((posting) => posting.strategies[s]);
    this.postingsOfPath = program.paths.map((_, path) => onEvents.filter((posting) => posting.path === path));
    this.postingsOfResource = program.resources.map((_, resource) =>
      by("resource").filter((posting) => posting.resource === resource),
    );
    const T = this.cycles;
    this.out = {
      raw: new Float64Array(program.entries.length * T),
      discounted: new Float64Array(program.entries.length * T),
      absolute: new Float64Array(program.entries.length),
      events: new Float64Array(program.paths.length * T),
      resources: new Float64Array(program.resources.length * T),
      membership: new Float64Array((T + 1) * (states + 1)),
      curves: new Float64Array(program.curves.length * (T + 1)),
      lifeYears: new Float64Array(T),
    };
  }

  /** Counts one way through an event for a share of people: events, resources, amounts on the event. */
  happened(leaf: Leaf, mass: number, state: Standing, point: "start" | "events" | "end"): void {
    if (mass === 0) return;
    const c = this.c;
    const post: Take = (entry, amount) => this.post(entry, amount, this.discounts[entry]![point][c]!);
    for (const branch of leaf.nodes) {
      this.out.events[branch.path * this.cycles + c]! += mass;
      this.used(branch, mass, 1, state, post);
    }
  }

  /** A rate that moves nobody: counts like an amount per year over the `years` lived in the state. */
  accrued(leaf: Leaf, rate: number, years: number, state: Standing, post: Take): void {
    for (const branch of leaf.nodes) {
      this.out.events[branch.path * this.cycles + this.c]! += rate * years;
      this.used(branch, rate, years, state, post);
    }
  }

  /** Lines over time that apply to a state, as yearly amounts. */
  lines(state: Standing, post: Take): void {
    for (const posting of this.overTimePostings) {
      if (this.movement.admits(posting.match, state))
        post(posting.entry, this.amount(posting.amount, posting.source, state));
    }
  }

  /** Books an undiscounted amount with its discount factor. */
  post(entry: number, amount: number, factor: number): void {
    const at = entry * this.cycles + this.c;
    this.out.raw[at]! += amount;
    this.out.discounted[at]! += amount * factor;
    this.out.absolute[entry]! += Math.abs(amount * factor);
  }

  private used(branch: Branch, cases: number, years: number, state: Standing, post: Take): void {
    for (const use of branch.uses) {
      const amount = cases * this.amount(use.amount, use.source, state);
      this.out.resources[use.resource * this.cycles + this.c]! += amount * years;
      const resource = this.program.resources[use.resource]!;
      const price = this.amount(resource.price, resource.source, state);
      for (const posting of this.postingsOfResource[use.resource]!) post(posting.entry, amount * price);
    }
    for (const posting of this.postingsOfPath[branch.path]!) {
      if (this.movement.admits(posting.match, state))
        post(posting.entry, cases * this.amount(posting.amount, posting.source, state));
    }
  }

  private amount(node: Bound, source: ExpressionSource, state: Standing): number {
    const value = this.values.value(node, state);
    if (!Number.isFinite(value)) throw inputError(source.place, "not-finite", String(value), this.where(state));
    return value;
  }
}
