import type { Code } from "./code.ts";
import type { Frame, Workspace } from "./frame.ts";
import type { Lens, Source } from "./lens.ts";
import type { Region } from "./stages.ts";

/** What all bodies of a kernel stand on. */
export interface Ground {
  readonly lens: Lens;
  readonly workspace: Workspace;
  /** Address of the workspace's first double. */
  readonly workspaceAt: number;
  /** Address of the numbers by cycle, `[cycle][number]`, each of them twice. */
  readonly cyclesAt: number;
  readonly frame: Frame;
  /** Address of the frame. */
  readonly frameAt: number;
  /** Where the factor per cycle of a tally lies. */
  weight(tally: number): Source;
}

/** Arguments of all functions that run through cycles; see `Pointers`. */
export const parameters = { count: 0, cycle: 1, groupCycle: 2, frame: 3 } as const;

/** Addresses that a body reads from, as locals: arguments, both banks, arrays of values by cycle. */
export class Pointers {
  readonly open: number;
  readonly close: number;
  /** Locals of the arrays that the body reads or writes. */
  readonly regions = new Map<Region, number>();
  private readonly code: Code;
  private readonly ground: Ground;
  private readonly used = new Set<"cycle" | "groupCycle">();

  constructor(code: Code, ground: Ground) {
    this.code = code;
    this.ground = ground;
    this.open = code.local("i32");
    this.close = code.local("i32");
  }

  /** The local with an array's address. */
  region(region: Region): number {
    const known = this.regions.get(region);
    if (known !== undefined) return known;
    const local = this.code.local("i32");
    this.regions.set(region, local);
    return local;
  }

  /** Pushes what lies at a source. */
  load(code: Code, { region, position }: Source): void {
    const { frame, frameAt } = this.ground;
    // reading a number into both lanes takes a register for its address, so those read often stand there twice
    switch (region) {
      case "constant":
        code.i32(0).load(frameAt + frame.rows.single(position));
        break;
      case "cycle":
        this.used.add(region);
        code.get(parameters.cycle).load(16 * position);
        break;
      case "groupCycle":
        this.used.add(region);
        code.get(parameters.groupCycle).loadSplat(8 * position);
        break;
      case "group":
        code.get(parameters.frame).load(frame.groupRows.single(position));
        break;
      case "row":
        code.i32(0).load(frameAt + frame.rows.row(position));
        break;
      case "groupRow":
        code.get(parameters.frame).load(frame.groupRows.row(position));
        break;
    }
  }

  /** Pushes all bits set in the lanes where a row is not 0. */
  loadTruth(code: Code, { region, position }: Source & { readonly region: "row" | "groupRow" }): void {
    const { frame, frameAt } = this.ground;
    if (region === "row") code.i32(0).load(frameAt + frame.rows.truth(position));
    else code.get(parameters.frame).load(frame.groupRows.truth(position));
  }

  /** Moves what varies by cycle on to the next. */
  advance(code: Code): void {
    const { counts } = this.ground.workspace;
    const move = (local: number, bytes: number): void => {
      code.get(local).i32(bytes).integer("add").set(local);
    };
    if (this.used.has("cycle")) move(parameters.cycle, 16 * counts.cycle);
    if (this.used.has("groupCycle")) move(parameters.groupCycle, 8 * counts.groupCycle);
    for (const [{ slots }, local] of this.regions) move(local, 16 * slots);
  }
}
