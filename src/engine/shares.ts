import type { Program } from "../compile/program.ts";
import type { JointState } from "../compile/states.ts";
import { inputError } from "../errors.ts";
import type { FormulaValues } from "./formula-value.ts";

/** Shares of people, `[state * groups + group]`, the dead behind the last joint state. */
export type Shares = Float64Array;

/** Adds people of each group to those in a state. */
export function addShares(there: Shares, state: number, more: Float64Array): void {
  const from = state * more.length;
  for (let g = 0; g < more.length; g++) there[from + g]! += more[g]!;
}

/** Copies the people in a state to `share`; returns whether there are any. */
export function takeShares(there: Shares, state: number, share: Float64Array): boolean {
  const from = state * share.length;
  let isAny = false;
  for (let g = 0; g < share.length; g++) {
    share[g] = there[from + g]!;
    isAny ||= share[g] !== 0;
  }
  return isAny;
}

/** Makes all numbers of a few groups the same; a call of `fill` takes longer than so few numbers do. */
export function setAll(numbers: Float64Array, value: number): void {
  for (let g = 0; g < numbers.length; g++) numbers[g] = value;
}

/** Copies the numbers of a few groups. */
export function copyTo(numbers: Float64Array, from: Float64Array): void {
  for (let g = 0; g < numbers.length; g++) numbers[g] = from[g]!;
}

/** The shares of the joint states at the start, where `values` stand; factors are independent. Throws shares-sum. */
export function startingShares(program: Program, states: readonly JointState[], values: FormulaValues): Shares {
  const { factors, startPlace } = program;
  const nobody = { levels: factors.map(() => 0), clocks: factors.map(() => 0) };
  const given = factors.map(({ start }) => start.map((share) => (share === null ? null : values.value(share, nobody))));
  const x = new Float64Array((states.length + 1) * values.lanes);
  for (let lane = 0; lane < values.lanes; lane++) {
    const shares = given.map((levels) => levels.map((share) => share?.[lane] ?? 0));
    for (const [f, list] of shares.entries()) {
      const sum = list.reduce((total, share) => total + share, 0);
      const wrong = list.find((share) => !(share >= 0 && share <= 1 + 1e-12));
      if (wrong !== undefined || Math.abs(sum - 1) > 1e-9)
        throw inputError(startPlace, "shares-sum", `${factors[f]!.name} at the start`, String(wrong ?? sum));
    }
    for (const [i, state] of states.entries()) {
      if (state.clocks.some((clock) => clock > 0)) continue;
      x[i * values.lanes + lane] = state.levels.reduce((product, level, f) => product * shares[f]![level]!, 1);
    }
  }
  return x;
}
