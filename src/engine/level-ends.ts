import type { EventForm, Move, Program } from "../compile/program.ts";
import type { Books } from "./books.ts";
import { kept } from "./combination.ts";
import { EventHere } from "./competing.ts";
import type { EventWalk } from "./event-walk.ts";
import type { Aged } from "./standings.ts";

/** Step 4: what the end of levels and the age of clocks do to people at the close of a cycle. */
export class LevelEnds {
  private readonly books: Books;
  private readonly walk: EventWalk;
  private readonly events: readonly number[];
  private readonly here = new Map<Aged, Map<EventForm, EventHere<Aged | null>>>();

  constructor(program: Program, books: Books, walk: EventWalk) {
    this.books = books;
    this.walk = walk;
    const ending = program.events.filter(({ timing }) => timing.when === "ends" || timing.when === "after");
    this.events = [...new Set(ending.map(({ event }) => event))];
  }

  /** Adds people in an aged state to where they settle in `y`, the dead last. */
  close(aged: Aged, mass: number, y: Float64Array): void {
    if (aged.fires.length === 0) {
      y[aged.settled()]! += mass;
      return;
    }
    let open: readonly { readonly aged: Aged; readonly mass: number }[] = [{ aged, mass }];
    for (const event of this.events) {
      open = open.flatMap((one) => {
        const here = this.firing(one.aged, event);
        if (here === undefined) return [one];
        const { occasion } = here;
        const { who } = one.aged;
        let staying = one.mass;
        const moved: { aged: Aged; mass: number }[] = [];
        for (const way of occasion.ways(who)) {
          const part = one.mass * way.chance;
          this.books.happened(way.passed, part, who, "end");
          if (way.move === null) continue;
          staying -= part;
          const { to } = here.passage(way);
          if (to === null) y[y.length - 1]! += part;
          else moved.push({ aged: to, mass: part });
        }
        return staying === 0 || occasion.takesAll(who) ? moved : [{ aged: one.aged, mass: staying }, ...moved];
      });
    }
    for (const one of open) y[one.aged.settled()]! += one.mass;
  }

  private firing(aged: Aged, event: number): EventHere<Aged | null> | undefined {
    const form = aged.fires.find((one) => one.event === event);
    if (form === undefined) return undefined;
    const events = kept(this.here, aged, () => new Map<EventForm, EventHere<Aged | null>>());
    const to = (move: Move | null): Aged | null => (move === null || move === "dead" ? null : aged.moved(move));
    return kept(events, form, () => new EventHere(this.walk.occasion(form, aged.who), to));
  }
}
