import { buildPlan } from "../compile/build-plan.ts";
import type { Expansion } from "../compile/expand.ts";
import type { Plan } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { Lanes } from "./lanes.ts";
import { judgeSuspects, type Suspect } from "./suspects.ts";
import { View } from "./view.ts";

/** A program ready for rows: the plan of each compared strategy. */
export interface Prepared {
  readonly program: Program;
  readonly expansion: Expansion;
  readonly plans: readonly Plan[];
}

/** How rows are run. None of it changes a bit of the outcomes. */
export interface RowsOptions {
  /** Rows evaluated together; 1 or more. Default: as many as keep a workspace small. */
  readonly blockRows?: number;
  /** Whether outcomes of each group are kept beside the mixed ones. Default: no. */
  readonly byGroup?: boolean;
  /** Number of the first row in the run it belongs to, from 0; for messages. */
  readonly firstDraw?: number;
}

/** What comes of rows, per starter, discounted, in the scenario's perspective. `s` counts compared strategies. */
export interface Outcomes {
  readonly rows: number;
  readonly strategies: number;
  readonly accounts: number;
  /** Groups mixed by share in file order, `[(row * strategies + s) * accounts + account]`. */
  readonly totals: Float64Array;
  /** Undiscounted life years, `[row * strategies + s]`. */
  readonly lifeYears: Float64Array;
  /** `[((row * strategies + s) * groups + group) * accounts + account]`, or null. */
  readonly byGroup: Float64Array | null;
}

/** Compiles the plans of all compared strategies. */
export function prepareRows(program: Program, expansion: Expansion): Prepared {
  return { program, expansion, plans: program.analysis.compare.map((s) => buildPlan(program, expansion, s)) };
}

/**
 * The one operation under every analysis: rows of input values in, rows of outcomes out. `rows` holds N rows of all
 * components one after another. Returns null if `cancelled`, which is asked between blocks, says so; `progress` is told
 * how many rows are done.
 * Throws what the referee finds wrong with the first bad row: rate-negative, chance-out-of-range, not-finite, shares-sum,
 * crude-unreachable, table-range; out-of-range for a choice there is not.
 */
export function evaluateRows(
  prepared: Prepared,
  rows: Float64Array,
  options: RowsOptions & { readonly progress?: (done: number) => void; readonly cancelled?: () => boolean } = {},
): Outcomes | null {
  const blocks = rowBlocks(prepared, rows, options);
  for (;;) {
    const step = blocks.next();
    if (step.done) return step.value;
    options.progress?.(step.value);
    if (options.cancelled?.()) return null;
  }
}

/** As `evaluateRows`, one block at a time: yields the number of rows done after each block, returns the outcomes. */
export function* rowBlocks(
  prepared: Prepared,
  rows: Float64Array,
  options: RowsOptions = {},
): Generator<number, Outcomes, void> {
  const { program, plans } = prepared;
  const width = program.components.length;
  const N = width === 0 ? 1 : rows.length / width;
  if (!Number.isInteger(N) || (width === 0 && rows.length > 0)) throw new Error(`rows of ${width} components expected`);
  const [S, G, A] = [plans.length, program.groups.length, program.accounts.length];
  const outcomes = {
    rows: N,
    strategies: S,
    accounts: A,
    totals: new Float64Array(N * S * A),
    lifeYears: new Float64Array(N * S),
    byGroup: options.byGroup ? new Float64Array(N * S * G * A) : null,
  };
  if (N === 0) return outcomes;
  checkChoices(program, rows, width, N);
  const block = Math.max(1, Math.min(N, options.blockRows ?? usualBlockRows(prepared)));
  const runners = plans.map((plan) => new Runner(program, plan, rows, varying(rows, width, N), block));
  const suspects: Suspect[] = [];
  for (let from = 0; from < N; from += block) {
    const count = Math.min(block, N - from);
    for (const [s, runner] of runners.entries()) {
      const result = runner.run(rows, width, from, count);
      for (let l = 0; l < count; l++) {
        if (!result.good[l]) suspects.push({ row: from + l, s });
        const at = (from + l) * S + s;
        for (let a = 0; a <= A; a++) {
          let mixed = 0;
          for (const { index, share } of program.groups) mixed += share * result.lanes.total(index, a, l);
          if (a === A) outcomes.lifeYears[at] = mixed;
          else outcomes.totals[at * A + a] = mixed;
        }
        if (outcomes.byGroup === null) continue;
        for (let g = 0; g < G; g++)
          for (let a = 0; a < A; a++) outcomes.byGroup[(at * G + g) * A + a] = result.lanes.total(g, a, l);
      }
    }
    yield from + count;
  }
  judgeSuspects(prepared, rows, outcomes, suspects, options.firstDraw ?? 0);
  return outcomes;
}

/** 128 rows, fewer where groups and states are so many that the workspace would leave the caches. */
function usualBlockRows({ program, expansion }: Prepared): number {
  const rowsOfLanes = 2 * program.groups.length * Math.max(1, expansion.states.length);
  return Math.max(4, Math.min(128, Math.floor(2_000_000 / rowsOfLanes)));
}

/** Below this many rows it does not pay to look for components that are the same in all of them. */
const fewRows = 8;

/** Throws out-of-range where a row holds a choice that there is not. */
function checkChoices(program: Program, rows: Float64Array, width: number, N: number): void {
  for (const { choices, name, offsets } of program.inputs) {
    if (choices === null) continue;
    for (const offset of new Set(offsets.flat())) {
      if (offset < 0) continue;
      for (let k = 0; k < N; k++) {
        const value = rows[k * width + offset]!;
        if (choices[value] !== undefined) continue;
        const range = `0 to ${choices.length - 1}, the positions of ${choices.join(", ")}`;
        throw inputError(program.components[offset]!.place, "out-of-range", `choice ${name}`, String(value), range);
      }
    }
  }
}

/** Which components differ between rows. */
function varying(rows: Float64Array, width: number, N: number): readonly boolean[] {
  return Array.from({ length: width }, (_, component) => {
    if (N < fewRows) return true;
    for (let k = 1; k < N; k++) if (!Object.is(rows[k * width + component], rows[component])) return true;
    return false;
  });
}

/**
 * Runs blocks of one strategy. Plain lanes first: they demand that every value be in range, whether there are people or
 * not. Where one is not, the block runs again in lanes that ask only where there are people.
 */
class Runner {
  private readonly plain: Lanes;
  private careful: Lanes | undefined;
  private readonly makeCareful: () => Lanes;
  private readonly program: Program;

  constructor(program: Program, plan: Plan, rows: Float64Array, varies: readonly boolean[], block: number) {
    this.program = program;
    const row = rows.subarray(0, varies.length);
    const lanes = (block + 3) & -4;
    const make = (careful: boolean) =>
      new Lanes(program, plan, new View(program, plan.graph, row, varies, careful), lanes);
    this.plain = make(false);
    this.makeCareful = () => make(true);
  }

  run(
    rows: Float64Array,
    width: number,
    from: number,
    count: number,
  ): { readonly lanes: Lanes; readonly good: readonly boolean[] } {
    if (this.plain.sound) {
      this.plain.run(rows, width, from, count);
      const good = this.good(this.plain, count);
      if (good.every(Boolean)) return { lanes: this.plain, good };
    }
    this.careful ??= this.makeCareful();
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
