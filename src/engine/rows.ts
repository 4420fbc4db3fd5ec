import { buildPlan } from "../compile/build-plan.ts";
import type { Expansion } from "../compile/expand.ts";
import type { Plan } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import type { Outcomes } from "./outcomes.ts";
import { type Foreseen, ReadyRunners } from "./ready-runners.ts";
import { Runner } from "./runner.ts";
import type { Speed } from "./speed.ts";
import { judgeSuspects, type Suspect } from "./suspects.ts";

/** A program ready for rows: the plan of each compared strategy. */
export interface Prepared {
  readonly program: Program;
  readonly expansion: Expansion;
  readonly plans: readonly Plan[];
  /** Lanes for a few rows at a time, which any later few rows can use again. */
  readonly forFew: readonly Runner[];
  /** Lanes and kernels for many rows, kept for the next ones like them. */
  readonly forMany: ReadyRunners;
}

/** How rows are run. None of it changes a bit of the outcomes. */
export interface RowsOptions {
  /** Rows evaluated together; 1 or more. Default: as many as keep a workspace small. */
  readonly blockRows?: number;
  /** Whether outcomes of each group are kept beside the mixed ones. Default: no. */
  readonly byGroup?: boolean;
  /** Number of the first row in the run that these rows are a block of, from 0; for messages. */
  readonly firstDraw?: number;
  /** Rows of the whole run, where these are a block of it: more of the same kind are to come. */
  readonly rowsInAll?: number;
  /** Memory for the outcomes, for as many rows or more; they lie there until it is used again. */
  readonly room?: OutcomesRoom;
  /** Where values of rows lie that are to come. */
  readonly foreseen?: () => Foreseen;
}

/** Memory for the outcomes of rows. */
export interface OutcomesRoom {
  readonly totals: Float64Array;
  readonly lifeYears: Float64Array;
  /** Empty where groups are not kept. */
  readonly byGroup: Float64Array;
}

/** Memory for the outcomes of so many rows. */
export function outcomesRoom({ program, plans }: Prepared, rows: number, byGroup: boolean): OutcomesRoom {
  const totals = rows * plans.length * program.accounts.length;
  return {
    totals: new Float64Array(totals),
    lifeYears: new Float64Array(rows * plans.length),
    byGroup: new Float64Array(byGroup ? totals * program.groups.length : 0),
  };
}

/** Compiles the plans of all compared strategies. */
export function prepareRows(program: Program, expansion: Expansion, speed: Speed = {}): Prepared {
  const plans = program.analysis.compare.map((s) => buildPlan(program, expansion, s));
  const everything = program.components.map(() => true);
  const row = new Float64Array(program.components.length);
  return {
    program,
    expansion,
    plans,
    forFew: plans.map((plan) => new Runner(program, plan, row, everything, few)),
    forMany: new ReadyRunners(program, plans, speed),
  };
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
  const room = options.room ?? outcomesRoom(prepared, N, options.byGroup ?? false);
  const outcomes = {
    rows: N,
    strategies: S,
    accounts: A,
    totals: room.totals.subarray(0, N * S * A),
    lifeYears: room.lifeYears.subarray(0, N * S),
    byGroup: options.byGroup ? room.byGroup.subarray(0, N * S * G * A) : null,
  };
  if (N === 0) return outcomes;
  checkChoices(program, rows, width, N);
  const asked = Math.max(1, options.blockRows ?? usualBlockRows(prepared));
  const block = N > few ? Math.min(N, asked) : Math.min(few, asked);
  const inAll = Math.max(N, options.rowsInAll ?? N);
  const runners = N > few ? prepared.forMany.for(rows, block, inAll, options.foreseen) : prepared.forFew;
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
  judgeSuspects(prepared, rows, outcomes, suspects, options.firstDraw ?? null);
  return outcomes;
}

/** 128 rows, fewer where groups and states are so many that the workspace would leave the caches. */
function usualBlockRows({ program, expansion }: Prepared): number {
  const rowsOfLanes = 2 * program.groups.length * Math.max(1, expansion.states.length);
  return Math.max(4, Math.min(128, Math.floor(2_000_000 / rowsOfLanes)));
}

/** Up to this many rows it does not pay to look for components that are the same in all of them. */
const few = 8;

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
