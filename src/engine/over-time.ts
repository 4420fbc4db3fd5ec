import type { JointState } from "../compile/states.ts";
import type { Books } from "./books.ts";
import { type Kind, putInOrder } from "./combination.ts";
import type { Occasion } from "./occasion.ts";
import type { LineOverTime } from "./postings.ts";
import { setAll } from "./shares.ts";

/** What accrues once for all who stand alike in it; `first` and `second` are the years they live, as they count. */
interface Alike<Thing extends Kind> extends Kind {
  readonly thing: Thing;
  /** Somebody who stands so. */
  readonly who: JointState;
  readonly first: Float64Array;
  readonly second: Float64Array;
  /** Whether anybody stood so in this cycle. */
  isOpen: boolean;
}

/** What accrues over time to people standing in a joint state: lines, and rates that move nobody. */
export interface AccruesHere {
  readonly lines: readonly Alike<LineOverTime>[];
  readonly rates: readonly Alike<Occasion>[];
  /** Of these, those that may leave somebody where they are. */
  readonly accruing: readonly Alike<Occasion>[];
}

/** Collects the years lived in each state in a cycle, then books what accrued in them, once for all who stand alike. */
export class OverTime {
  private readonly books: Books;
  /** All that was asked for, in a fixed order. */
  private readonly lines: Alike<LineOverTime>[] = [];
  private readonly rates: Alike<Occasion>[] = [];

  constructor(books: Books) {
    this.books = books;
  }

  /** What accrues to people standing in a state; `accruing` is part of `rates`. */
  here(
    who: JointState,
    lines: readonly LineOverTime[],
    rates: readonly Occasion[],
    accruing: readonly Occasion[],
  ): AccruesHere {
    const ofRate = (rate: Occasion): Alike<Occasion> => this.alike(this.rates, rate, who);
    return {
      lines: lines.map((line) => this.alike(this.lines, line, who)),
      rates: rates.map(ofRate),
      accruing: accruing.map(ofRate),
    };
  }

  /** Years lived in a state, by group; `isNew` where its rates were not asked in this cycle. */
  lived({ lines, rates, accruing }: AccruesHere, first: Float64Array, second: Float64Array, isNew: boolean): void {
    this.books.lived(first, second);
    for (let i = 0; i < lines.length; i++) add(lines[i]!, first, second);
    // rates that move all whom they meet have been asked already, but where nobody was before
    const asked = isNew ? rates : accruing;
    for (let i = 0; i < asked.length; i++) add(asked[i]!, first, second);
  }

  /** Books what accrued since the last time, as counted at one point of a cycle or boundary, or at both its ends. */
  book(point: "start" | "middle" | "both ends", place: number): void {
    const { books } = this;
    for (const one of this.lines) {
      if (!one.isOpen) continue;
      one.isOpen = false;
      books.countsYears(point, place, one.first, one.second);
      books.line(one.thing, one.who);
    }
    for (const one of this.rates) {
      if (!one.isOpen) continue;
      one.isOpen = false;
      const rate = one.thing.rate(one.who);
      for (const way of one.thing.ways(one.who)) {
        if (way.move !== null) continue;
        books.countsYears(point, place, one.first, one.second);
        books.accrued(way, rate, one.who);
      }
    }
  }

  private alike<Thing extends Kind>(known: Alike<Thing>[], thing: Thing, who: JointState): Alike<Thing> {
    const { order, key } = thing;
    const same = known.find((one) => one.order === order && one.key === key);
    if (same !== undefined) return same;
    const [first, second] = [new Float64Array(this.books.lanes), new Float64Array(this.books.lanes)];
    const found = { order, key, thing, who, first, second, isOpen: false };
    putInOrder(known, found);
    return found;
  }
}

function add<Thing extends Kind>(one: Alike<Thing>, first: Float64Array, second: Float64Array): void {
  if (!one.isOpen) {
    one.isOpen = true;
    setAll(one.first, 0);
    setAll(one.second, 0);
  }
  for (let g = 0; g < first.length; g++) {
    one.first[g]! += first[g]!;
    one.second[g]! += second[g]!;
  }
}
