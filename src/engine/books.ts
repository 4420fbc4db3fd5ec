import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Standing } from "./combination.ts";
import type { DiscountTable } from "./discount.ts";
import type { Amount, Booked, Line } from "./postings.ts";
import type { Traced } from "./traced.ts";

/** Discount factors by entry, each by cycle. */
type Factors = readonly Float64Array[];

/** Keeps what happens: events, resources, and money and effects by entry and cycle, discounted and not. */
export class Books {
  readonly out: Traced;
  /** The cycle that amounts are booked in. */
  c = 0;
  private readonly where: (who: Standing) => string;
  private readonly cycles: number;
  private readonly factors: Readonly<Record<keyof DiscountTable, Factors>>;
  /** How what is booked next counts: its weight with its factors, and where it is split, the weight of its second part. */
  private weight = 1;
  private first: Factors;
  private place = 0;
  private isSplit = false;
  private second = 0;

  /** `discounts` by entry; `where` says in words where somebody stands. */
  constructor(program: Program, discounts: readonly DiscountTable[], states: number, where: (who: Standing) => string) {
    this.where = where;
    this.cycles = program.grid.cycles;
    this.factors = {
      start: discounts.map(({ start }) => start),
      events: discounts.map(({ events }) => events),
      middle: discounts.map(({ middle }) => middle),
      end: discounts.map(({ end }) => end),
    };
    this.first = this.factors.start;
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
    this.counts(point, this.c, 1);
    for (const booked of passed) {
      this.out.events[booked.path * this.cycles + this.c]! += mass;
      this.used(booked, mass, 1, who);
    }
  }

  /** From here on, amounts count with a weight and the discount factors of one point at a cycle or boundary. */
  counts(point: keyof DiscountTable, place: number, weight: number): void {
    this.first = this.factors[point];
    this.place = place;
    this.weight = weight;
    this.isSplit = false;
  }

  /** From here on, amounts count with one weight at the opening of the cycle and another at its close. */
  countsAtBothEnds(atOpen: number, atClose: number): void {
    this.counts("start", this.c, atOpen);
    this.isSplit = true;
    this.second = atClose;
  }

  /** A line over time, for people standing in a state. Throws not-finite. */
  line({ entry, amount }: Line, who: Standing): void {
    this.take(entry, this.amount(amount, who));
  }

  /** A rate that moves nobody: counts like an amount per year over the `years` lived in the state. */
  accrued(passed: readonly Booked[], rate: number, years: number, who: Standing): void {
    for (const booked of passed) {
      this.out.events[booked.path * this.cycles + this.c]! += rate * years;
      this.used(booked, rate, years, who);
    }
  }

  private amount({ asked, source }: Amount, who: Standing): number {
    const value = asked.now();
    if (!Number.isFinite(value)) throw inputError(source.place, "not-finite", String(value), this.where(who));
    return value;
  }

  private take(entry: number, amount: number): void {
    if (!this.isSplit) {
      this.post(entry, amount * this.weight, this.first[entry]![this.place]!);
      return;
    }
    if (this.weight !== 0) this.post(entry, amount * this.weight, this.first[entry]![this.place]!);
    if (this.second !== 0) this.post(entry, amount * this.second, this.factors.end[entry]![this.place]!);
  }

  private post(entry: number, amount: number, factor: number): void {
    const at = entry * this.cycles + this.c;
    this.out.raw[at]! += amount;
    this.out.discounted[at]! += amount * factor;
    this.out.absolute[entry]! += Math.abs(amount * factor);
  }

  private used(booked: Booked, cases: number, years: number, who: Standing): void {
    for (const use of booked.uses) {
      const amount = cases * this.amount(use.amount, who);
      this.out.resources[use.resource * this.cycles + this.c]! += amount * years;
      const price = this.amount(use.price, who);
      for (const entry of use.entries) this.take(entry, amount * price);
    }
    for (const { entry, amount } of booked.lines) this.take(entry, cases * this.amount(amount, who));
  }
}
