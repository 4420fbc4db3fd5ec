import type { Code } from "./code.ts";
import type { Ground } from "./ground.ts";

/** Addresses of the same thing of each group: the first one's, and the way to the next. */
export interface Pointer {
  readonly first: number;
  readonly step: number;
}

/** Where everything lies in the kernel's memory. */
export class Addresses {
  private readonly ground: Ground;
  private readonly groupsAt: number;

  /** `groupsAt` is the address of the parts of the frame that groups have. */
  constructor(ground: Ground, groupsAt: number) {
    this.ground = ground;
    this.groupsAt = groupsAt;
  }

  /** First address behind the frame. */
  get end(): number {
    return this.groupsAt + this.ground.workspace.groups * this.ground.frame.groupRows.bytes;
  }

  /** Repeats for all groups; `args` pushes the addresses of the present one, the first with a local added if asked. */
  eachGroup(code: Code, list: readonly Pointer[], body: (args: (added?: number) => Code) => void): void {
    const locals = list.map(() => code.local("i32"));
    for (const [i, { first }] of list.entries()) code.i32(first).set(locals[i]!);
    const left = code.local("i32");
    code.i32(this.ground.workspace.groups).set(left);
    code.loop(() => {
      body((added) => {
        for (const [i, local] of locals.entries()) {
          code.get(local);
          if (i === 0 && added !== undefined) code.get(added).integer("add");
        }
        return code;
      });
      for (const [i, { step }] of list.entries()) code.get(locals[i]!).i32(step).integer("add").set(locals[i]!);
      code.get(left).i32(1).integer("subtract").tee(left);
    });
  }

  /** The frame's parts of groups. */
  get frames(): Pointer {
    return { first: this.groupsAt, step: this.ground.frame.groupRows.bytes };
  }

  /** The numbers of groups. */
  get groups(): Pointer {
    const { at, counts } = this.ground.workspace;
    return { first: this.doubleAt(at.group), step: 8 * counts.group };
  }

  /** The rows of groups. */
  get groupRows(): Pointer {
    const { at, counts, lanes } = this.ground.workspace;
    return { first: this.doubleAt(at.groupRow), step: 8 * lanes * counts.groupRow };
  }

  /** The lanes' banks of groups, of which the first holds who starts. */
  get banks(): Pointer {
    const { at, counts, lanes } = this.ground.workspace;
    return { first: this.doubleAt(at.banks), step: 16 * lanes * counts.bank };
  }

  /** The numbers of groups in a cycle. */
  groupCycles(cycle: number): Pointer {
    const { at, counts, cycles } = this.ground.workspace;
    const step = 8 * (cycles + 1) * counts.groupCycle;
    return { first: this.doubleAt(at.groupCycle + cycle * counts.groupCycle), step };
  }

  /** The numbers of a cycle. */
  cycleAt(cycle: number): number {
    return this.ground.cyclesAt + 16 * cycle * this.ground.workspace.counts.cycle;
  }

  /** The address of a row's first lane. */
  rowAt(row: number): number {
    const { at, lanes } = this.ground.workspace;
    return this.doubleAt(at.row + row * lanes);
  }

  /** The address of a double of the workspace. */
  doubleAt(position: number): number {
    return this.ground.workspaceAt + 8 * position;
  }
}
