import type { EventForm, Move } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { crudeHazard } from "../numerics/crude-incidence.ts";
import type { Standing } from "./combination.ts";
import type { Occasion, Way } from "./occasion.ts";
import { setAll } from "./shares.ts";

/** A way as it starts from one state. */
export interface Passage<To> {
  readonly way: Way;
  readonly to: To;
  /** Its yearly rates now by group, among the events that compete in a cycle. */
  readonly rate: Float64Array;
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
    this.known[way.index] ??= { way, to: this.to(way.move), rate: new Float64Array(way.chance.length) };
    return this.known[way.index]!;
  }
}

/** Step 2: all moving ways of rate events that apply to one state, with their yearly rates. */
export class Competing<To> {
  /** The sum of the rates of the ways found last, by group. */
  readonly total: Float64Array;
  private readonly events: readonly EventHere<To>[];
  private readonly found: Passage<To>[] = [];
  private readonly crude: Passage<To>[] = [];

  constructor(events: readonly EventHere<To>[], lanes: number) {
    this.events = events;
    this.total = new Float64Array(lanes);
  }

  /** The ways and rates now; good until asked for again. Throws not-finite, rate-negative, chance-out-of-range, crude-unreachable. */
  ways(who: Standing, where: (who: Standing) => string): readonly Passage<To>[] {
    const { found, crude, total } = this;
    let count = 0;
    let crudes = 0;
    let solved: EventForm | null = null;
    setAll(total, 0);
    for (const event of this.events) {
      const { occasion } = event;
      const yearly = occasion.rate(who);
      for (const way of occasion.ways(who)) {
        if (way.move === null) continue;
        const passage = event.passage(way);
        const { rate } = passage;
        for (let g = 0; g < rate.length; g++) rate[g] = yearly[g]! * way.chance[g]!;
        if (occasion.form.timing.when === "crude") {
          solved ??= occasion.form;
          crude[crudes++] = passage;
          continue;
        }
        found[count++] = passage;
        for (let g = 0; g < rate.length; g++) total[g]! += rate[g]!;
      }
    }
    // setting a length that is right already takes time
    if (found.length !== count) found.length = count;
    if (crude.length !== crudes) crude.length = crudes;
    if (solved !== null) this.solve(solved, who, where);
    return found;
  }

  /** Finds the rates that leave the crude incidences beside the others, and adds them. */
  private solve({ timing, source }: EventForm, who: Standing, where: (who: Standing) => string): void {
    const { crude, found, total } = this;
    for (let g = 0; g < total.length; g++) {
      let incidence = 0;
      for (const { rate } of crude) incidence += rate[g]!;
      const hazard = crudeHazard(incidence, total[g]!, timing.when === "crude" ? timing.years : 1);
      if (!Number.isFinite(hazard)) throw inputError(source.place, "crude-unreachable", String(incidence), where(who));
      for (const { rate } of crude) {
        rate[g] = incidence === 0 ? 0 : (hazard * rate[g]!) / incidence;
        total[g]! += rate[g]!;
      }
    }
    found.push(...crude);
  }
}
