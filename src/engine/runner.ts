import type { Plan } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { Lanes } from "./lanes.ts";
import { View } from "./view.ts";

/**
 * Runs blocks of one strategy. Plain lanes first: they demand that every value be in range, whether there are people or
 * not. Where one is not, the block runs again in lanes that ask only where there are people.
 */
export class Runner {
  private readonly program: Program;
  private readonly make: (careful: boolean) => Lanes;
  private plain: Lanes | undefined;
  private careful: Lanes | undefined;

  /** `row` holds what does not vary; `follow` lets plain lanes of a view follow a kernel, if they should. */
  constructor(
    program: Program,
    plan: Plan,
    row: Float64Array,
    varies: readonly boolean[],
    block: number,
    follow: ((lanes: Lanes, view: View) => void) | null = null,
  ) {
    this.program = program;
    this.make = (careful) => {
      const view = new View(program, plan.graph, row, varies, careful);
      const through = follow !== null && !careful ? "kernel" : "tapes";
      const lanes = new Lanes(program, plan, view, (block + 3) & -4, through);
      if (follow !== null && !careful && lanes.sound) follow(lanes, view);
      return lanes;
    };
  }

  run(
    rows: Float64Array,
    width: number,
    from: number,
    count: number,
  ): { readonly lanes: Lanes; readonly good: readonly boolean[] } {
    this.plain ??= this.make(false);
    if (this.plain.sound) {
      this.plain.run(rows, width, from, count);
      const good = this.good(this.plain, count);
      if (good.every(Boolean)) return { lanes: this.plain, good };
    }
    this.careful ??= this.make(true);
    this.careful.run(rows, width, from, count);
    return { lanes: this.careful, good: this.good(this.careful, count) };
  }

  private good(lanes: Lanes, count: number): readonly boolean[] {
    const { groups, accounts } = this.program;
    return Array.from({ length: count }, (_, l) =>
      groups.every(
        ({ index }) =>
          !lanes.failed(index, l) && accounts.every((account) => Number.isFinite(lanes.total(index, account.index, l))),
      ),
    );
  }
}
