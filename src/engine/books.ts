import type { EventForm, Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Standing } from "./combination.ts";
import type { DiscountTable } from "./discount.ts";
import type { Occasion, Way } from "./occasion.ts";
import type { Amount, Booked, Line } from "./postings.ts";
import { copyTo, setAll } from "./shares.ts";
import type { Traced } from "./traced.ts";

/** Discount factors by entry, each by cycle. */
type Factors = readonly Float64Array[];

/** Where in a cycle the amounts of an event lie. */
const pointOf = {
  instant: "start",
  rate: "events",
  crude: "events",
  chance: "events",
  ends: "end",
  after: "end",
} as const satisfies Record<EventForm["timing"]["when"], keyof DiscountTable>;

/** Keeps what happens: events, resources, and money and effects by entry and cycle, discounted and not, for each group. */
export class Books {
  readonly out: readonly Traced[];
  /** Number of groups. */
  readonly lanes: number;
  /** The cycle that amounts are booked in. */
  c = 0;
  private readonly where: (who: Standing) => string;
  private readonly cycles: number;
  private readonly factors: Readonly<Record<keyof DiscountTable, Factors>>;
  /** How what is booked next counts: its weights with their factors, and where it is split, the weights of its second part. */
  private readonly weight: Float64Array;
  private readonly second: Float64Array;
  private first: Factors;
  private place = 0;
  private isSplit = false;
  /** Memory for what is being booked. */
  private readonly cases: Float64Array;
  private readonly years: Float64Array;
  private readonly used: Float64Array;
  private readonly due: Float64Array;

  /** `discounts` by entry; `where` says in words where somebody stands. */
  constructor(
    program: Program,
    discounts: readonly DiscountTable[],
    { states, lanes }: { readonly states: number; readonly lanes: number },
    where: (who: Standing) => string,
  ) {
    this.where = where;
    this.lanes = lanes;
    this.cycles = program.grid.cycles;
    this.factors = {
      start: discounts.map(({ start }) => start),
      events: discounts.map(({ events }) => events),
      middle: discounts.map(({ middle }) => middle),
      end: discounts.map(({ end }) => end),
    };
    this.first = this.factors.start;
    const numbers = (): Float64Array => new Float64Array(lanes);
    this.weight = numbers();
    this.second = numbers();
    this.cases = numbers();
    this.years = numbers();
    this.used = numbers();
    this.due = numbers();
    const T = this.cycles;
    this.out = Array.from({ length: lanes }, () => ({
      raw: new Float64Array(program.entries.length * T),
      discounted: new Float64Array(program.entries.length * T),
      absolute: new Float64Array(program.entries.length),
      events: new Float64Array(program.paths.length * T),
      resources: new Float64Array(program.resources.length * T),
      membership: new Float64Array((T + 1) * (states + 1)),
      curves: new Float64Array(program.curves.length * (T + 1)),
      lifeYears: new Float64Array(T),
    }));
  }

  /** A share of each group went one way through an event; it is booked with all who go it in this cycle. */
  happened(way: Way, mass: Float64Array, who: Standing): void {
    for (let g = 0; g < mass.length; g++) if (mass[g] !== 0) this.happenedTo(g, way, mass[g]!, who);
  }

  /** The same for one group. */
  happenedTo(lane: number, way: Way, mass: number, who: Standing): void {
    if (mass === 0) return;
    way.goer ??= who;
    way.gone[lane]! += mass;
  }

  /** Books what happened in this cycle: events, resources, amounts on the event. Throws not-finite. */
  bookEvents(occasions: readonly Occasion[]): void {
    setAll(this.weight, 1);
    for (const { form, everyWay } of occasions) {
      for (const way of everyWay) {
        if (way.goer === null) continue;
        this.counts(pointOf[form.timing.when], this.c);
        for (const booked of way.passed) {
          for (let g = 0; g < this.lanes; g++) this.out[g]!.events[booked.path * this.cycles + this.c]! += way.gone[g]!;
          this.use(booked, way.gone, null, way.goer);
        }
        setAll(way.gone, 0);
        way.goer = null;
      }
    }
  }

  /** Years lived in a state, by group, in two parts. */
  lived(first: Float64Array, second: Float64Array): void {
    for (let g = 0; g < first.length; g++) this.out[g]!.lifeYears[this.c]! += first[g]! + second[g]!;
  }

  /** From here on, amounts are yearly and count for so many years, at one point of a cycle or boundary or at both its ends. */
  countsYears(point: "start" | "middle" | "both ends", place: number, first: Float64Array, second: Float64Array): void {
    this.isSplit = point === "both ends";
    this.counts(point === "both ends" ? "start" : point, place, this.isSplit);
    copyTo(this.second, second);
    for (let g = 0; g < first.length; g++) this.weight[g] = this.isSplit ? first[g]! : first[g]! + second[g]!;
  }

  /** A line over time, for people standing in a state. Throws not-finite. */
  line({ entry, amount }: Line, who: Standing): void {
    this.take(entry, this.amount(amount, who));
  }

  /** A way of a rate that moves nobody: counts like an amount per year over the years that count now. */
  accrued(way: Way, rate: Float64Array, who: Standing): void {
    const { weight, second, cases, years, cycles, c } = this;
    for (let g = 0; g < cases.length; g++) {
      cases[g] = rate[g]! * way.chance[g]!;
      years[g] = this.isSplit ? weight[g]! + second[g]! : weight[g]!;
    }
    for (const booked of way.passed) {
      for (let g = 0; g < cases.length; g++) this.out[g]!.events[booked.path * cycles + c]! += cases[g]! * years[g]!;
      this.use(booked, cases, years, who);
    }
  }

  private counts(point: keyof DiscountTable, place: number, isSplit = false): void {
    this.first = this.factors[point];
    this.place = place;
    this.isSplit = isSplit;
  }

  private amount({ asked, source }: Amount, who: Standing): Float64Array {
    const values = asked.now();
    for (let g = 0; g < values.length; g++)
      if (!Number.isFinite(values[g])) throw inputError(source.place, "not-finite", String(values[g]), this.where(who));
    return values;
  }

  private take(entry: number, amounts: Float64Array): void {
    const { weight, second, place } = this;
    const at = entry * this.cycles + this.c;
    const factor = this.first[entry]![place]!;
    for (let g = 0; g < amounts.length; g++)
      if (weight[g] !== 0) post(this.out[g]!, entry, at, amounts[g]! * weight[g]!, factor);
    if (!this.isSplit) return;
    const atEnd = this.factors.end[entry]![place]!;
    for (let g = 0; g < amounts.length; g++)
      if (second[g] !== 0) post(this.out[g]!, entry, at, amounts[g]! * second[g]!, atEnd);
  }

  /** `years` null for what happens at once. */
  private use(booked: Booked, cases: Float64Array, years: Float64Array | null, who: Standing): void {
    const { used, due } = this;
    for (const use of booked.uses) {
      const amounts = this.amount(use.amount, who);
      const at = use.resource * this.cycles + this.c;
      for (let g = 0; g < used.length; g++) {
        used[g] = cases[g]! * amounts[g]!;
        this.out[g]!.resources[at]! += years === null ? used[g]! : used[g]! * years[g]!;
      }
      const prices = this.amount(use.price, who);
      for (let g = 0; g < due.length; g++) due[g] = used[g]! * prices[g]!;
      for (const entry of use.entries) this.take(entry, due);
    }
    for (const { entry, amount } of booked.lines) {
      const amounts = this.amount(amount, who);
      for (let g = 0; g < due.length; g++) due[g] = cases[g]! * amounts[g]!;
      this.take(entry, due);
    }
  }
}

function post(out: Traced, entry: number, at: number, amount: number, factor: number): void {
  out.raw[at]! += amount;
  out.discounted[at]! += amount * factor;
  out.absolute[entry]! += Math.abs(amount * factor);
}
