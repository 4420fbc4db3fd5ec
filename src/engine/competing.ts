import type { EventForm, Move } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { crudeHazard } from "../numerics/crude-incidence.ts";
import type { Standing } from "./combination.ts";
import type { Occasion, Way } from "./occasion.ts";

/** A way as it starts from one state. */
export interface Passage<To> {
  readonly way: Way;
  readonly to: To;
  /** Its yearly rate now, among the events that compete in a cycle. */
  rate: number;
}

/** An event for people standing in one state. */
export class EventHere<To> {
  readonly occasion: Occasion;
  private readonly to: (move: Move | null) => To;
  private readonly known: (Passage<To> | undefined)[] = [];

  /** `to` says where a move leads from here. */
  constructor(occasion: Occasion, to: (move: Move | null) => To) {
    this.occasion = occasion;
    this.to = to;
  }

  /** A way from here. */
  passage(way: Way): Passage<To> {
    this.known[way.index] ??= { way, to: this.to(way.move), rate: 0 };
    return this.known[way.index]!;
  }
}

/** Step 2: all moving ways of rate events that apply to one state, with their yearly rates. */
export class Competing<To> {
  private readonly events: readonly EventHere<To>[];
  private readonly found: Passage<To>[] = [];
  private readonly crude: Passage<To>[] = [];

  constructor(events: readonly EventHere<To>[]) {
    this.events = events;
  }

  /** The ways and rates now; good until asked for again. Throws not-finite, rate-negative, chance-out-of-range, crude-unreachable. */
  ways(who: Standing, where: (who: Standing) => string): readonly Passage<To>[] {
    const { found, crude } = this;
    let count = 0;
    let crudes = 0;
    let solved: EventForm | null = null;
    for (const event of this.events) {
      const { occasion } = event;
      const yearly = occasion.rate(who);
      for (const way of occasion.ways(who)) {
        if (way.move === null) continue;
        const passage = event.passage(way);
        passage.rate = yearly * way.chance;
        if (occasion.form.timing.when !== "crude") found[count++] = passage;
        else {
          solved ??= occasion.form;
          crude[crudes++] = passage;
        }
      }
    }
    // setting a length that is right already takes time
    if (found.length !== count) found.length = count;
    if (crude.length !== crudes) crude.length = crudes;
    if (solved === null) return found;
    const others = found.reduce((sum, { rate }) => sum + rate, 0);
    const incidence = crude.reduce((sum, { rate }) => sum + rate, 0);
    const { timing, source } = solved;
    const hazard = crudeHazard(incidence, others, timing.when === "crude" ? timing.years : 1);
    if (!Number.isFinite(hazard)) throw inputError(source.place, "crude-unreachable", String(incidence), where(who));
    for (const passage of crude) {
      passage.rate = incidence === 0 ? 0 : (hazard * passage.rate) / incidence;
      found.push(passage);
    }
    return found;
  }
}
