import { evaluated, ready } from "./own.ts";
import { openRing, ringRows } from "./ring.ts";
import { type Contestant, rounds, timed } from "./rounds.ts";
import { growth, type Spread, spreadOf } from "./statistics.ts";

/** Draws, cycles and states. */
export interface Size {
  readonly draws: number;
  readonly cycles: number;
  readonly states: number;
}

/** How time grows along one axis. */
export interface Growth {
  readonly axis: keyof Size;
  readonly sizes: readonly Size[];
  /** User seconds of each size. */
  readonly user: readonly Spread[];
  /** Each size's median over that of the size before. */
  readonly ratios: readonly number[];
}

/** What was doubled. */
export interface Doublings {
  /** The size around which one axis at a time is doubled. */
  readonly around: Size;
  readonly axes: readonly Growth[];
}

const middle: Size = { draws: 4000, cycles: 120, states: 50 };

const axes: readonly (readonly [keyof Size, readonly number[]])[] = [
  ["draws", [1000, 2000, 4000, 8000]],
  ["cycles", [60, 120, 240, 480]],
  ["states", [25, 50, 100, 200, 400]],
];

/** Doublings of draws, cycles and states of the ring, everything else as in the middle; kernels are made anew each time. */
export async function measuredGrowth(count: number, told: (id: string, round: number) => void): Promise<Doublings> {
  const sizes = axes.flatMap(([axis, list]) => list.map((value): Size => ({ ...middle, [axis]: value })));
  const names = new Map(sizes.map((size) => [nameOf(size), size]));
  const contestants = [...names].map(([id, size]): Contestant => {
    const study = openRing(size.states, size.cycles);
    const rows = ringRows(study, size.draws);
    return { id, rounds: count, run: () => timed(() => evaluated(ready(study), rows)) };
  });
  const taken = await rounds(contestants, told);
  const found = axes.map(([axis, list]): Growth => {
    const own = list.map((value): Size => ({ ...middle, [axis]: value }));
    const user = own.map((size) => spreadOf(taken.get(nameOf(size))!.map((one) => one.user)));
    return { axis, sizes: own, user, ratios: growth(user.map(({ median }) => median)) };
  });
  return { around: middle, axes: found };
}

function nameOf({ draws, cycles, states }: Size): string {
  return `ring of ${states} states, ${cycles} cycles, ${draws} draws`;
}
