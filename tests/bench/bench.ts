import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { agree, Disagreement } from "./agreement.ts";
import { demoContestants, millionDraws, openDemo } from "./demo.ts";
import { machine } from "./machine.ts";
import type { BenchOptions } from "./options.ts";
import { evaluated, openWorkload, ready, stateCycles } from "./own.ts";
import { allDraws, type Peer, peers, writeRows } from "./peers.ts";
import { type Absent, type BenchReport, wayOf } from "./report.ts";
import { type Contestant, rounds, timed } from "./rounds.ts";
import { measuredGrowth } from "./scaling.ts";
import { workloadThreads } from "./threads.ts";
import { expectedFirst, expectedMeans } from "./workload/expected.ts";
import { workloadRows } from "./workload/rows.ts";

const outcomeNames = ["cost", "QALYs", "life years", "events"];

/** Called before each piece of work. */
type Told = (what: string, round: number) => void;

/** The whole bench, or the quick one. Throws a Disagreement where programs that should agree do not. */
export async function bench(options: BenchOptions, told: Told): Promise<BenchReport> {
  const workload = await timedWorkload(options, told);
  const demo = await timedDemo(options, told);
  const growth = options.quick ? null : await measuredGrowth(Math.min(5, options.rounds), told);
  const million = options.million ? millionDraws() : null;
  return {
    measured: new Date().toISOString(),
    quick: options.quick,
    machine: machine(),
    workload,
    demo,
    growth,
    million,
  };
}

async function timedWorkload(options: BenchOptions, told: Told): Promise<BenchReport["workload"]> {
  const folder = mkdtempSync(join(tmpdir(), "bench-"));
  try {
    const absent: Absent[] = [];
    const present: Peer[] = [];
    for (const peer of peers) {
      const reason = options.quick && peer.id !== "plain-c" ? "left out of a quick bench" : peer.prepare(folder);
      if (reason === null) present.push(peer);
      else absent.push({ label: peer.label, reason });
    }
    if (present[0]?.id !== "plain-c") throw new Error(`there is nothing to compare with: ${absent[0]!.reason}`);
    writeRows(folder, allDraws);
    const study = openWorkload();
    const prepared = ready(study);
    const rows = workloadRows(study.program, allDraws);
    let reference: Float64Array | undefined;
    const checked = (name: string, outcomes: Float64Array): void => {
      if (reference === undefined) {
        checkReference(outcomes);
        reference = outcomes;
      } else agree(name, outcomes, reference, outcomeNames);
    };
    const own = (id: string, work: () => Promise<Float64Array> | Float64Array): Contestant => ({
      id,
      rounds: options.rounds,
      async run() {
        const { user, wall, result } = await timed(work);
        checked("Steelyard", result);
        return { user, wall };
      },
    });
    const threads = workloadThreads(2, rows, allDraws * 16);
    const ours = [
      own("steelyard", () => evaluated(prepared, rows).totals),
      own("steelyard-anew", () => evaluated(ready(openWorkload()), rows).totals),
      own("steelyard-2", () => threads.run()),
    ];
    const others = present.map(
      (peer): Contestant => ({
        id: peer.id,
        rounds: Math.min(options.rounds, peer.rounds),
        async run() {
          const { user, wall, outcomes } = await peer.run(folder, peer.draws);
          checked(peer.label, outcomes);
          return { user, wall };
        },
      }),
    );
    const taken = await rounds([others[0]!, ...ours, ...others.slice(1)], told);
    await threads.end();
    const way = (id: string, label: string, draws: number) => wayOf(id, label, draws, allDraws, taken.get(id)!);
    const [plain, ...more] = present.map(({ id, label, draws }) => way(id, label, draws));
    const ways = [
      plain!,
      way("steelyard", "Steelyard, one thread", allDraws),
      way("steelyard-anew", "Steelyard, one thread, from the model's text on", allDraws),
      way("steelyard-2", "Steelyard, two threads", allDraws),
      ...more,
    ];
    return { draws: allDraws, ways, absent, steps: stateCycles(prepared) };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Throws where plain C does not give the figures that belong to the workload. */
function checkReference(outcomes: Float64Array): void {
  agree("plain C", outcomes.slice(0, expectedFirst.length), Float64Array.from(expectedFirst), outcomeNames);
  for (const { outcome, means } of expectedMeans) {
    for (const [s, expected] of means.entries()) {
      let sum = 0;
      for (let d = 0; d < allDraws; d++) sum += outcomes[(d * 4 + s) * 4 + outcome]!;
      const mean = sum / allDraws;
      if (!(Math.abs(mean / expected - 1) <= 1e-9))
        throw new Disagreement(
          `plain C disagrees: mean ${outcomeNames[outcome]}, strategy ${s + 1}: ${mean} is not ${expected}`,
        );
    }
  }
}

async function timedDemo(options: BenchOptions, told: Told): Promise<BenchReport["demo"]> {
  const demo = openDemo();
  const draws = options.quick ? 500 : 10_000;
  const all = demoContestants(demo, draws, Math.min(options.quick ? 3 : 2, options.rounds));
  // processes of their own take long to start
  const contestants = options.quick ? all.filter(({ isFresh }) => !isFresh) : all;
  const taken = await rounds(contestants, told);
  const ways = contestants.map(({ id, label }) => wayOf(id, label, draws, draws, taken.get(id)!));
  return { draws, ways, steps: stateCycles(demo.prepared) };
}
