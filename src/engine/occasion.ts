import type { Bound } from "../compile/bound.ts";
import type { Branch, EventForm, Move } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Asked } from "./asked.ts";
import type { Kind, Standing } from "./combination.ts";
import type { FormulaValues } from "./formula-value.ts";
import type { Booked, Postings } from "./postings.ts";
import { copyTo, setAll } from "./shares.ts";

/** One way through an event's branches; its numbers are by group. */
export interface Way {
  /** The place of its last node among all nodes of the event. */
  readonly index: number;
  /** What is booked of the nodes passed. */
  readonly passed: readonly Booked[];
  readonly move: Move | null;
  /** The chance of it now, once the event happens. */
  readonly chance: Float64Array;
  /** 1 where nobody can go it now, since the branches beside it take all. */
  readonly closed: Uint8Array;
  /** The share of people who went it in this cycle and are not booked yet. */
  readonly gone: Float64Array;
  /** Somebody who did. */
  goer: Standing | null;
}

/** What is known of the row, the strategy and the group that an event is for. */
export interface Ground {
  readonly values: FormulaValues;
  readonly postings: Postings;
  /** Says in words where somebody stands. */
  readonly where: (who: Standing) => string;
}

interface Fork {
  readonly branch: Branch;
  readonly chance: Asked | null;
  /** Taken where there are no branches, and by those who take none of them. */
  readonly way: Way;
  readonly branches: readonly Fork[];
  readonly rest: Fork | null;
  /** The chance of coming here now, and of going on by none of the branches that have a chance of their own. */
  readonly reached: Float64Array;
  readonly left: Float64Array;
}

const sumTolerance = 1e-12;

/** An event in one form, for all who stand alike in what it depends on. */
export class Occasion implements Kind {
  readonly form: EventForm;
  readonly order: number;
  readonly key: number | string;
  /** All ways there ever are. */
  readonly everyWay: readonly Way[];
  private readonly ground: Ground;
  private readonly yearly: Asked | null;
  private readonly root: Fork;
  private readonly found: Way[] = [];
  private count = 0;
  private readonly varies: boolean;
  private foundUntil = -1;

  /** `key` is that of all who stand alike. */
  constructor(
    ground: Ground,
    { form, key }: { readonly form: EventForm; readonly key: number | string },
    who: Standing,
  ) {
    const { values, postings } = ground;
    this.form = form;
    this.key = key;
    this.order = values.program.events.indexOf(form);
    this.ground = ground;
    const rate = rateNode(form);
    this.yearly = rate === null ? null : values.asked(rate, who);
    const everyWay: Way[] = [];
    let varies = false;
    const fork = (branch: Branch, above: readonly Booked[]): Fork => {
      const passed = [...above, postings.booked(branch, who, values)];
      const chance = branch.chance === null ? null : values.asked(branch.chance, who);
      varies ||= chance?.varies ?? false;
      // an event of branches alone has not happened to those who took none of them
      const nothing = branch === form.root && form.timing.when === "chance" && branch.chance === null;
      const ended = nothing && branch.children.length > 0 ? [] : passed;
      const numbers = (): Float64Array => new Float64Array(values.lanes);
      const way: Way = {
        index: everyWay.length,
        passed: ended,
        move: branch.move,
        chance: numbers(),
        closed: new Uint8Array(values.lanes),
        gone: numbers(),
        goer: null,
      };
      everyWay.push(way);
      const branches = branch.children.map((child) => fork(child, passed));
      const rest = branches.find((child) => child.branch.rest) ?? null;
      return { branch, chance, way, branches, rest, reached: numbers(), left: numbers() };
    };
    this.root = fork(form.root, []);
    this.everyWay = everyWay;
    this.varies = varies;
  }

  /** Yearly rates of a rate event, or incidences of a crude one, as met by somebody. Throws not-finite, rate-negative. */
  rate(who: Standing): Float64Array {
    if (this.yearly === null) throw new Error("this event has no rate");
    const rates = this.yearly.now();
    for (let g = 0; g < rates.length; g++) {
      const rate = rates[g]!;
      if (rate >= 0 && rate < Number.POSITIVE_INFINITY) continue;
      const { place } = this.form.source;
      if (!Number.isFinite(rate)) throw inputError(place, "not-finite", String(rate), this.ground.where(who));
      throw inputError(place, "rate-negative", String(rate), this.ground.where(who));
    }
    return rates;
  }

  /**
   * All ways through the event's branches with their chances now, those who do none of its branches included; good until
   * asked for again. Throws not-finite, chance-out-of-range.
   */
  ways(who: Standing): readonly Way[] {
    const { turn } = this.ground.values;
    if (this.foundUntil < turn) {
      this.count = 0;
      const chances = this.chancesOf(this.root, who);
      for (let g = 0; g < this.root.reached.length; g++) this.root.reached[g] = chances === null ? 1 : chances[g]!;
      this.visit(this.root, who);
      if (this.found.length !== this.count) this.found.length = this.count;
      this.foundUntil = this.varies ? turn : Number.MAX_SAFE_INTEGER;
    }
    return this.found;
  }

  /** True where it leaves nobody of a group where they were: subtracting its parts would leave a trace of rounding there. */
  takesAll(who: Standing, lane: number): boolean {
    const { root, timing } = this.form;
    const shared = timing.when === "instant" && timing.shares !== null;
    return root.chance === null && !shared && this.ways(who).every(({ move, closed }) => move !== null || closed[lane]);
  }

  /** Goes on from a fork whose chance of being reached is known. */
  private visit(fork: Fork, who: Standing): void {
    const { branches, rest, reached, left, way } = fork;
    if (branches.length === 0) {
      this.take(way, reached);
      return;
    }
    setAll(left, 1);
    for (const child of branches) {
      if (child.branch.rest) continue;
      const chances = this.chancesOf(child, who);
      for (let g = 0; g < left.length; g++) {
        const p = chances === null ? 1 : chances[g]!;
        left[g]! -= p;
        child.reached[g] = reached[g]! * p;
      }
      this.visit(child, who);
    }
    let isOpen = false;
    for (let g = 0; g < left.length; g++) {
      if (left[g]! < -sumTolerance) {
        const { place } = fork.branch.source;
        throw inputError(place, "chance-out-of-range", `branches sum to ${1 - left[g]!}`, this.ground.where(who));
      }
      const over = Math.max(0, left[g]!);
      isOpen ||= over > 0;
      way.closed[g] = over > 0 ? 0 : 1;
      left[g] = reached[g]! * over;
    }
    if (rest !== null) {
      copyTo(rest.reached, left);
      this.visit(rest, who);
    } else if (isOpen) this.take(way, left);
  }

  private take(way: Way, chances: Float64Array): void {
    copyTo(way.chance, chances);
    this.found[this.count++] = way;
  }

  /** Null for a branch that is taken for certain. */
  private chancesOf({ branch, chance }: Fork, who: Standing): Float64Array | null {
    if (chance === null) return null;
    const chances = chance.now();
    for (let g = 0; g < chances.length; g++) {
      const p = chances[g]!;
      const { place } = branch.source;
      if (!Number.isFinite(p)) throw inputError(place, "not-finite", String(p), this.ground.where(who));
      if (p < 0 || p > 1 + sumTolerance)
        throw inputError(place, "chance-out-of-range", String(p), this.ground.where(who));
    }
    return chances;
  }
}

/** The expression of a rate or a crude incidence, where an event has one. */
export function rateNode({ timing }: EventForm): Bound | null {
  return timing.when === "rate" ? timing.rate : timing.when === "crude" ? timing.incidence : null;
}
