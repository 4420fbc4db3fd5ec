import type { LongRun } from "./demo.ts";
import type { Machine } from "./machine.ts";
import type { StateCycles } from "./own.ts";
import type { Taken } from "./rounds.ts";
import type { Doublings } from "./scaling.ts";
import { type Spread, scaled, spreadOf } from "./statistics.ts";

/** One way to do a work, timed. */
export interface Way {
  readonly id: string;
  readonly label: string;
  /** Draws that were run; their time is told for all. */
  readonly draws: number;
  readonly user: Spread;
  readonly wall: Spread;
}

/** A peer that is not here, and why. */
export interface Absent {
  readonly label: string;
  readonly reason: string;
}

/** What a bench found; seconds throughout. */
export interface BenchReport {
  /** When it ended, an ISO text. */
  readonly measured: string;
  readonly quick: boolean;
  readonly machine: Machine;
  readonly workload: {
    readonly draws: number;
    /** Plain C is the first. */
    readonly ways: readonly Way[];
    readonly absent: readonly Absent[];
    readonly steps: StateCycles;
  };
  readonly demo: { readonly draws: number; readonly ways: readonly Way[]; readonly steps: StateCycles };
  /** Null in a quick bench. */
  readonly growth: Doublings | null;
  readonly million: LongRun | null;
}

/** A way from what its rounds took; of `all` draws it ran `draws`. */
export function wayOf(id: string, label: string, draws: number, all: number, taken: readonly Taken[]): Way {
  const told = (pick: (one: Taken) => number): Spread => scaled(spreadOf(taken.map(pick)), all / draws);
  return { id, label, draws, user: told(({ user }) => user), wall: told(({ wall }) => wall) };
}

/** Nanoseconds of the processor for one step of one row through one state. */
export interface StepCost {
  readonly all: number;
  readonly inhabited: number;
}

/** What a step through a state costs on a way that took so many rows. */
export function stepCost(way: Way, rows: number, steps: StateCycles): StepCost {
  const per = (count: number): number => (way.user.median * 1e9) / (rows * count);
  return { all: per(steps.all), inhabited: per(steps.inhabited) };
}
