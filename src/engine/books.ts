import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Standing } from "./combination.ts";
import type { DiscountTable } from "./discount.ts";
import type { Amount, Booked } from "./postings.ts";
import type { Traced } from "./traced.ts";

/** Takes an amount of an entry. */
export type Take = (entry: number, amount: number) => void;

/** Keeps what happens: events, resources, and money and effects by entry and cycle, discounted and not. */
export class Books {
  readonly out: Traced;
  /** The cycle that amounts are booked in. */
  c = 0;
  private readonly where: (who: Standing) => string;
  private readonly cycles: number;
  private readonly atPoint: Readonly<Record<"start" | "events" | "end", Take>>;

  /** `discounts` by entry; `where` says in words where somebody stands. */
  constructor(program: Program, discounts: readonly DiscountTable[], states: number, where: (who: Standing) => string) {
    this.where = where;
    this.cycles = program.grid.cycles;
    const take = (point: "start" | "events" | "end"): Take => {
      const factors = discounts.map((table) => table[point]);
      return (entry, amount) => this.post(entry, amount, factors[entry]![this.c]!);
    };
    this.atPoint = { start: take("start"), events: take("events"), end: take("end") };
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
  happened(passed: readonly Booked[], mass: number, who: Standing, point: "start" | "events" | "end"): void {
    if (mass === 0) return;
    const post = this.atPoint[point];
    for (const booked of passed) {
      this.out.events[booked.path * this.cycles + this.c]! += mass;
      this.used(booked, mass, 1, who, post);
    }
  }

  /** A rate that moves nobody: counts like an amount per year over the `years` lived in the state. */
  accrued(passed: readonly Booked[], rate: number, years: number, who: Standing, post: Take): void {
    for (const booked of passed) {
      this.out.events[booked.path * this.cycles + this.c]! += rate * years;
      this.used(booked, rate, years, who, post);
    }
  }

  /** The value of an amount now. Throws not-finite. */
  amount({ asked, source }: Amount, who: Standing): number {
    const value = asked.now();
    if (!Number.isFinite(value)) throw inputError(source.place, "not-finite", String(value), this.where(who));
    return value;
  }

  /** Books an undiscounted amount with its discount factor. */
  post(entry: number, amount: number, factor: number): void {
    const at = entry * this.cycles + this.c;
    this.out.raw[at]! += amount;
    this.out.discounted[at]! += amount * factor;
    this.out.absolute[entry]! += Math.abs(amount * factor);
  }

  private used(booked: Booked, cases: number, years: number, who: Standing, post: Take): void {
    for (const use of booked.uses) {
      const amount = cases * this.amount(use.amount, who);
      this.out.resources[use.resource * this.cycles + this.c]! += amount * years;
      const price = this.amount(use.price, who);
      for (const entry of use.entries) post(entry, amount * price);
    }
    for (const { entry, amount } of booked.lines) post(entry, cases * this.amount(amount, who));
  }
}
