import type { Bound } from "../compile/bound.ts";
import type { Branch, EventForm, Move } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Standing } from "./combination.ts";
import type { Asked, FormulaValues } from "./formula-value.ts";
import type { Booked, Postings } from "./postings.ts";

/** One way through an event's branches. */
export interface Way {
  /** The place of its last node among all nodes of the event. */
  readonly index: number;
  /** What is booked of the nodes passed. */
  readonly passed: readonly Booked[];
  readonly move: Move | null;
  /** The chance of it now, once the event happens. */
  chance: number;
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
}

const sumTolerance = 1e-12;

/** An event in one form, for all who stand alike in what it depends on. */
export class Occasion {
  readonly form: EventForm;
  private readonly ground: Ground;
  private readonly yearly: Asked | null;
  private readonly root: Fork;
  private readonly found: Way[] = [];
  private count = 0;
  private readonly varies: boolean;
  private foundUntil = -1;

  constructor(ground: Ground, form: EventForm, who: Standing) {
    const { values, postings } = ground;
    this.form = form;
    this.ground = ground;
    const rate = rateNode(form);
    this.yearly = rate === null ? null : values.asked(rate, who);
    let index = 0;
    let varies = false;
    const fork = (branch: Branch, above: readonly Booked[]): Fork => {
      const passed = [...above, postings.booked(branch, who, values)];
      const chance = branch.chance === null ? null : values.asked(branch.chance, who);
      varies ||= chance?.varies ?? false;
      // an event of branches alone has not happened to those who took none of them
      const nothing = branch === form.root && form.timing.when === "chance" && branch.chance === null;
      const ended = nothing && branch.children.length > 0 ? [] : passed;
      const way = { index: index++, passed: ended, move: branch.move, chance: 0 };
      const branches = branch.children.map((child) => fork(child, passed));
      return { branch, chance, way, branches, rest: branches.find((child) => child.branch.rest) ?? null };
    };
    this.root = fork(form.root, []);
    this.varies = varies;
  }

  /** Yearly rate of a rate event, or the incidence of a crude one, as met by somebody. Throws not-finite, rate-negative. */
  rate(who: Standing): number {
    const rate = this.yearly === null ? 0 : this.yearly.now();
    if (!(rate >= 0 && rate < Number.POSITIVE_INFINITY)) {
      const { place } = this.form.source;
      if (!Number.isFinite(rate)) throw inputError(place, "not-finite", String(rate), this.ground.where(who));
      throw inputError(place, "rate-negative", String(rate), this.ground.where(who));
    }
    return rate;
  }

  /**
   * All ways through the event's branches with their chances now, those who do none of its branches included; good until
   * asked for again. Throws not-finite, chance-out-of-range.
   */
  ways(who: Standing): readonly Way[] {
    const { turn } = this.ground.values;
    if (this.foundUntil < turn) {
      this.count = 0;
      this.visit(this.root, this.chanceOf(this.root, who), who);
      if (this.found.length !== this.count) this.found.length = this.count;
      this.foundUntil = this.varies ? turn : Number.MAX_SAFE_INTEGER;
    }
    return this.found;
  }

  /** True where it leaves nobody where they were: subtracting its parts would leave a trace of rounding there. */
  takesAll(who: Standing): boolean {
    const { root, timing } = this.form;
    const shared = timing.when === "instant" && timing.shares !== null;
    return root.chance === null && !shared && this.ways(who).every(({ move }) => move !== null);
  }

  private visit(fork: Fork, chance: number, who: Standing): void {
    if (fork.branches.length === 0) {
      this.take(fork.way, chance);
      return;
    }
    let left = 1;
    for (const child of fork.branches) {
      if (child.branch.rest) continue;
      const p = this.chanceOf(child, who);
      left -= p;
      this.visit(child, chance * p, who);
    }
    if (left < -sumTolerance) {
      const { place } = fork.branch.source;
      throw inputError(place, "chance-out-of-range", `branches sum to ${1 - left}`, this.ground.where(who));
    }
    left = Math.max(0, left);
    if (fork.rest !== null) this.visit(fork.rest, chance * left, who);
    else if (left > 0) this.take(fork.way, chance * left);
  }

  private take(way: Way, chance: number): void {
    way.chance = chance;
    this.found[this.count++] = way;
  }

  private chanceOf({ branch, chance }: Fork, who: Standing): number {
    if (chance === null) return 1;
    const p = chance.now();
    const { place } = branch.source;
    if (!Number.isFinite(p)) throw inputError(place, "not-finite", String(p), this.ground.where(who));
    if (p < 0 || p > 1 + sumTolerance)
      throw inputError(place, "chance-out-of-range", String(p), this.ground.where(who));
    return p;
  }
}

/** The expression of a rate or a crude incidence, where an event has one. */
export function rateNode({ timing }: EventForm): Bound | null {
  return timing.when === "rate" ? timing.rate : timing.when === "crude" ? timing.incidence : null;
}
