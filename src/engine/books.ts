import type { EventForm, Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Standing } from "./combination.ts";
import type { DiscountTable } from "./discount.ts";
import type { Occasion, Way } from "./occasion.ts";
import type { Amount, Booked, Line } from "./postings.ts";
import { addShares, copyTo, setAll } from "./shares.ts";
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
  /** Number of groups. */
  readonly lanes: number;
  /** The cycle that amounts are booked in. */
  c = 0;
  /** As in `Traced`, the numbers of all groups beside each other. */
  private readonly raw: Float64Array;
  private readonly discounted: Float64Array;
  private readonly absolute: Float64Array;
  private readonly events: Float64Array;
  private readonly resources: Float64Array;
  private readonly lifeYears: Float64Array;
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
  constructor(program: Program, discounts: readonly DiscountTable[], lanes: number, where: (who: Standing) => string) {
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
    const counts = (things: number): Float64Array => new Float64Array(things * this.cycles * lanes);
    this.raw = counts(program.entries.length);
    this.discounted = counts(program.entries.length);
    this.absolute = new Float64Array(program.entries.length * lanes);
    this.events = counts(program.paths.length);
    this.resources = counts(program.resources.length);
    this.lifeYears = counts(1);
  }

  /** What was kept, for one group. */
  booked(lane: number): Omit<Traced, "membership" | "curves"> {
    const of = (numbers: Float64Array): Float64Array => ofLane(numbers, lane, this.lanes);
    return {
      raw: of(this.raw),
      discounted: of(this.discounted),
      absolute: of(this.absolute),
      events: of(this.events),
      resources: of(this.resources),
      lifeYears: of(this.lifeYears),
    };
  }

  /** A share of each group went one way through an event; it is booked with all who go it in this cycle. */
  happened(way: Way, mass: Float64Array, who: Standing): void {
    for (let g = 0; g < mass.length; g++) this.happenedTo(g, way, mass[g]!, who);
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
          addShares(this.events, booked.path * this.cycles + this.c, way.gone);
          this.use(booked, way.gone, null, way.goer);
        }
        setAll(way.gone, 0);
        way.goer = null;
      }
    }
  }

  /** Years lived in a state, by group, in two parts. */
  lived(first: Float64Array, second: Float64Array): void {
    const from = this.c * first.length;
    for (let g = 0; g < first.length; g++) this.lifeYears[from + g]! += first[g]! + second[g]!;
  }

  /** From here on, amounts are yearly and count for so many years, at one point of a cycle or boundary or at both its ends. */
  countsYears(point: "start" | "middle" | "both ends", place: number, first: Float64Array, second: Float64Array): void {
    this.counts(point === "both ends" ? "start" : point, place, point === "both ends");
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
      const from = (booked.path * cycles + c) * cases.length;
      for (let g = 0; g < cases.length; g++) this.events[from + g]! += cases[g]! * years[g]!;
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
    this.post(entry, amounts, this.weight, this.first[entry]![this.place]!);
    if (this.isSplit) this.post(entry, amounts, this.second, this.factors.end[entry]![this.place]!);
  }

  private post(entry: number, amounts: Float64Array, weight: Float64Array, factor: number): void {
    const { raw, discounted, absolute } = this;
    const lanes = amounts.length;
    const at = (entry * this.cycles + this.c) * lanes;
    for (let g = 0; g < lanes; g++) {
      const counted = amounts[g]! * weight[g]!;
      const present = counted * factor;
      raw[at + g]! += counted;
      discounted[at + g]! += present;
      absolute[entry * lanes + g]! += Math.abs(present);
    }
  }

  /** `years` null for what happens at once. */
  private use(booked: Booked, cases: Float64Array, years: Float64Array | null, who: Standing): void {
    const { used, due } = this;
    for (const use of booked.uses) {
      const amounts = this.amount(use.amount, who);
      const at = (use.resource * this.cycles + this.c) * used.length;
      for (let g = 0; g < used.length; g++) {
        used[g] = cases[g]! * amounts[g]!;
        this.resources[at + g]! += years === null ? used[g]! : used[g]! * years[g]!;
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

/** The numbers of one of several groups whose numbers stand beside each other. */
export function ofLane(numbers: Float64Array, lane: number, lanes: number): Float64Array {
  const own = new Float64Array(numbers.length / lanes);
  for (let k = 0; k < own.length; k++) own[k] = numbers[k * lanes + lane]!;
  return own;
}
