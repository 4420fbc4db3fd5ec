import type { Bound } from "../compile/bound.ts";
import type { Branch, EventForm, Match } from "../compile/program.ts";
import { type Combinations, kept, putInOrder, type Standing } from "./combination.ts";
import { type Ground, Occasion, rateNode } from "./occasion.ts";
import type { Postings } from "./postings.ts";

/** Finds the events that apply to people standing in a state. */
export class EventWalk {
  /** All that were asked for, in a fixed order. */
  readonly occasions: Occasion[] = [];
  private readonly ground: Ground;
  private readonly combinations: Combinations;
  /** By input, the part of those left at each instant that it takes. */
  private readonly shares = new Map<number, Float64Array>();
  private readonly known = new Map<EventForm, Map<number | string, Occasion>>();

  constructor(ground: Ground, combinations: Combinations) {
    this.ground = ground;
    this.combinations = combinations;
  }

  /** An event in the form that applies to somebody. */
  occasion(form: EventForm, who: Standing): Occasion {
    const { key } = this.combinations.ofAll(form, () => this.readOf(form));
    const alike = kept(this.known, form, () => new Map<number | string, Occasion>());
    const place = key(who);
    return kept(alike, place, () => {
      const found = new Occasion(this.ground, { form, key: place }, who);
      putInOrder(this.occasions, found);
      return found;
    });
  }

  /** Of those still at risk, the share whose instant this is, when shares over a list of instants are given. */
  instantShare({ timing }: EventForm, position: number): number {
    if (timing.when !== "instant" || timing.shares === null) return 1;
    const { program, strategy, row } = this.ground.values;
    const offsets = program.inputs[timing.shares]!.offsets[strategy]!;
    const shares = kept(this.shares, timing.shares, () => {
      let left = 0;
      const found = new Float64Array(offsets.length);
      for (let k = offsets.length - 1; k >= 0; k--) {
        left += row[offsets[k]!]!;
        found[k] = left > 0 ? row[offsets[k]!]! / left : 0;
      }
      return found;
    });
    return shares[position]!;
  }

  private readOf(form: EventForm): { readonly nodes: readonly Bound[]; readonly matches: readonly Match[] } {
    const rate = rateNode(form);
    const visit = (branch: Branch): readonly ReturnType<Postings["readOf"]>[] => [
      { nodes: branch.chance === null ? [] : [branch.chance], matches: [] },
      this.ground.postings.readOf(branch),
      ...branch.children.flatMap(visit),
    ];
    const read = [{ nodes: rate === null ? [] : [rate], matches: [] }, ...visit(form.root)];
    return { nodes: read.flatMap(({ nodes }) => nodes), matches: read.flatMap(({ matches }) => matches) };
  }
}
