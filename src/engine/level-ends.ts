import type { EventForm, Move, Program } from "../compile/program.ts";
import type { Books } from "./books.ts";
import { kept } from "./combination.ts";
import { EventHere } from "./competing.ts";
import type { EventWalk } from "./event-walk.ts";
import { addShares, type Shares } from "./shares.ts";
import type { Aged } from "./standings.ts";

/** Step 4: what the end of levels and the age of clocks do to people at the close of a cycle. */
export class LevelEnds {
  private readonly books: Books;
  private readonly walk: EventWalk;
  private readonly events: readonly number[];
  /** The place of the dead. */
  private readonly dead: number;
  private readonly here = new Map<Aged, Map<EventForm, EventHere<Aged | null>>>();

  constructor(program: Program, books: Books, walk: EventWalk, dead: number) {
    this.dead = dead;
    this.books = books;
    this.walk = walk;
    const ending = program.events.filter(({ timing }) => timing.when === "ends" || timing.when === "after");
    this.events = [...new Set(ending.map(({ event }) => event))];
  }

  /** Adds people in an aged state, by group, to where they settle in `y`, the dead last. */
  close(aged: Aged, mass: Float64Array, y: Shares): void {
    if (aged.fires.length === 0) {
      addShares(y, aged.settled(), mass);
      return;
    }
    let open: readonly { readonly aged: Aged; readonly mass: Float64Array }[] = [{ aged, mass: mass.slice() }];
    for (const event of this.events) {
      open = open.flatMap((one) => {
        const here = this.firing(one.aged, event);
        if (here === undefined) return [one];
        const { occasion } = here;
        const { who } = one.aged;
        const staying = one.mass.slice();
        const moved: { readonly aged: Aged; readonly mass: Float64Array }[] = [];
        for (const way of occasion.ways(who)) {
          const part = one.mass.map((share, g) => share * way.chance[g]!);
          this.books.happened(way, part, who);
          if (way.move === null) continue;
          for (let g = 0; g < part.length; g++) staying[g]! -= part[g]!;
          const { to } = here.passage(way);
          if (to === null) addShares(y, this.dead, part);
          else moved.push({ aged: to, mass: part });
        }
        for (let g = 0; g < staying.length; g++) if (occasion.takesAll(who, g)) staying[g] = 0;
        return staying.every((share) => share === 0) ? moved : [{ aged: one.aged, mass: staying }, ...moved];
      });
    }
    for (const one of open) addShares(y, one.aged.settled(), one.mass);
  }

  private firing(aged: Aged, event: number): EventHere<Aged | null> | undefined {
    const form = aged.fires.find((one) => one.event === event);
    if (form === undefined) return undefined;
    const events = kept(this.here, aged, () => new Map<EventForm, EventHere<Aged | null>>());
    const to = (move: Move | null): Aged | null => (move === null || move === "dead" ? null : aged.moved(move));
    return kept(events, form, () => new EventHere(this.walk.occasion(form, aged.who), to));
  }
}
