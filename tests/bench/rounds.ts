/** Seconds that something took: of the processor for the user, all threads, and on the clock. */
export interface Taken {
  readonly user: number;
  readonly wall: number;
}

/** Something that is timed, and in how many of the rounds it takes part. */
export interface Contestant {
  readonly id: string;
  readonly rounds: number;
  /** Whether it stays out of the round that is not counted; for what starts anew each time and has no answer to check. */
  readonly isFresh?: boolean;
  /** Does its work once; throws where the answer is wrong. */
  run(): Promise<Taken> | Taken;
}

/** What this process takes for some work. */
export async function timed<T>(work: () => Promise<T> | T): Promise<Taken & { readonly result: T }> {
  const [before, start] = [process.cpuUsage(), performance.now()];
  const result = await work();
  return { user: process.cpuUsage(before).user / 1e6, wall: (performance.now() - start) / 1e3, result };
}

/**
 * Interleaved rounds: all contestants in turn, then all again, so that a slow minute of the machine falls on all alike.
 * The first round is not counted: it holds what happens only once, and every answer is checked in it before anything is
 * timed. Comes back with what each contestant took, by its id.
 */
export async function rounds(
  contestants: readonly Contestant[],
  told: (id: string, round: number) => void = () => {},
): Promise<ReadonlyMap<string, readonly Taken[]>> {
  const taken = new Map(contestants.map(({ id }): [string, Taken[]] => [id, []]));
  const most = Math.max(0, ...contestants.map((contestant) => contestant.rounds));
  for (let round = 0; round <= most; round++) {
    for (const contestant of contestants) {
      if (round > contestant.rounds || (round === 0 && contestant.isFresh)) continue;
      told(contestant.id, round);
      const one = await contestant.run();
      if (round > 0) taken.get(contestant.id)!.push({ user: one.user, wall: one.wall });
    }
  }
  return taken;
}
