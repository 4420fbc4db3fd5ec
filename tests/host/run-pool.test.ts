import { join } from "node:path";
import { afterEach, beforeAll, describe, expect, test } from "vitest";
import { copied } from "../../src/host/case-copy.ts";
import { folderFiles } from "../../src/host/files.ts";
import { type PoolRun, type RunPool, runPool } from "../../src/host/run-pool.ts";
import type { FileSource } from "../../src/schema/files.ts";
import { openStudy, runParts, runStudy } from "../../src/study.ts";
import { freshBuild } from "../built.ts";
import { caseFiles, findingsOf, scenarioPath } from "../case.ts";

const files = folderFiles(join(import.meta.dirname, "../.."));
const hiv = "scenarios/published/hiv-mono-vs-combo.scenario.yaml";
const harbour = "scenarios/harbour/base.scenario.yaml";

const pools: RunPool[] = [];

function newPool(most: number): RunPool {
  const pool = runPool(most);
  pools.push(pool);
  return pool;
}

/** A case as a pool wants it. */
function opened(path: string, source: FileSource = files): Pick<PoolRun, "study" | "copy"> {
  const { opened: study, copy } = copied(source, path, openStudy);
  return { study, copy };
}

/** What a run throws. */
async function mistakeOf(run: Promise<unknown>): Promise<unknown> {
  try {
    await run;
  } catch (error) {
    return error;
  }
  throw new Error("nothing was wrong");
}

/** Waits until draws are being made. */
async function underWay(start: (onProgress: PoolRun["onProgress"]) => void): Promise<void> {
  await new Promise<void>((resolve) =>
    start(({ done }) => {
      if (done > 0) resolve();
    }),
  );
}

beforeAll(freshBuild);

afterEach(async () => {
  for (const pool of pools.splice(0)) await pool.close();
});

describe("a run on threads", () => {
  test("gives the document of one thread, for any number of threads and any blocks", async () => {
    const pool = newPool(3);
    const one = opened(hiv);
    for (const design of ["plain", "stratified", "quasi"] as const) {
      const options = { draws: 1500, seed: "threads", design };
      const expected = runStudy(one.study, options);
      for (const threads of [1, 2, 3])
        for (const blockDraws of [100, 1024, 4096]) {
          const parts = await pool.run({ ...one, options, threads, blockDraws });
          expect(parts?.document, `${design}, ${threads} threads, blocks of ${blockDraws}`).toEqual(expected);
          expect(parts?.table).toBeUndefined();
        }
    }
  });

  test("gives rows and outcomes of all draws where they are to be kept", async () => {
    const one = opened(hiv);
    const options = { draws: 700, seed: "kept", keepRows: true };
    const parts = await newPool(2).run({ ...one, options, threads: 2, blockDraws: 64 });
    const { table } = runParts(one.study, options);
    expect([...parts!.table!.rows]).toEqual([...table!.rows]);
    expect([...parts!.table!.outcomes]).toEqual([...table!.outcomes]);
  });

  test("of base values needs one, and gives the trace asked for", async () => {
    const one = opened(hiv);
    const options = { draws: 0, trace: true };
    const parts = await newPool(2).run({ ...one, options, threads: 2 });
    expect(parts?.document).toEqual(runStudy(one.study, options));
  });

  test("says how far it has come", async () => {
    const seen: number[] = [];
    const options = { draws: 4000, seed: "progress" };
    await newPool(2).run({
      ...opened(harbour),
      options,
      threads: 2,
      onProgress: ({ done, total }) => {
        expect(total).toBe(4000);
        seen.push(done);
      },
    });
    expect(seen[0]).toBe(0);
    expect(seen.length).toBeGreaterThan(2);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
  });

  test("does not begin where nobody waits for it", async () => {
    const pool = newPool(1);
    const signal = AbortSignal.abort();
    expect(await pool.run({ ...opened(hiv), options: { draws: 100 }, threads: 1, signal })).toBeNull();
    expect(pool.threads).toHaveLength(0);
  });
});

describe("a run that is cancelled", () => {
  test.each([
    ["while it draws", 100_000, 300],
    ["while it runs base values", 0, 0],
  ])("%s ends soon and leaves the pool usable", async (_, draws, leastWait) => {
    const pool = newPool(2);
    const small = opened(hiv);
    // threads are there and have the case open
    await pool.run({ ...opened(harbour), options: { draws: 200 }, threads: 2 });
    const stop = new AbortController();
    const run = { ...opened(harbour), options: { draws }, threads: 2, signal: stop.signal };
    let isEnded = false;
    let ended = Promise.resolve<unknown>(undefined);
    const start = (onProgress: PoolRun["onProgress"]): void => {
      ended = pool.run({ ...run, ...(onProgress === undefined ? {} : { onProgress }) }).finally(() => {
        isEnded = true;
      });
    };
    if (draws > 0) await underWay(start);
    else start(undefined);
    await new Promise((resolve) => setTimeout(resolve, leastWait));
    expect(isEnded).toBe(false);
    const before = performance.now();
    stop.abort();
    expect(await ended).toBeNull();
    // 100 ms on a machine that does nothing else
    expect(performance.now() - before).toBeLessThan(500);
    const options = { draws: 500, seed: "after" };
    expect((await pool.run({ ...small, options, threads: 2 }))?.document).toEqual(runStudy(small.study, options));
  });
});

describe("a thread that is lost", () => {
  test.each([0, 1])("ends the run with one located mistake and is replaced: thread %i", async (which) => {
    const pool = newPool(2);
    let run = Promise.resolve<unknown>(undefined);
    await underWay((onProgress) => {
      run = pool.run({
        ...opened(harbour),
        options: { draws: 100_000 },
        threads: 2,
        ...(onProgress && { onProgress }),
      });
      run.catch(() => {});
    });
    expect(pool.threads).toHaveLength(2);
    await pool.threads[which]!.terminate();
    expect(await mistakeOf(run)).toMatchObject({
      findings: [
        { code: "worker-lost", file: harbour, line: 1, column: 1, message: expect.stringContaining("exited") },
      ],
    });
    const small = opened(hiv);
    const options = { draws: 500, seed: "after" };
    expect((await pool.run({ ...small, options, threads: 2 }))?.document).toEqual(runStudy(small.study, options));
  });

  test("does not keep another run waiting for ever", async () => {
    const pool = newPool(1);
    const small = opened(hiv);
    let run = Promise.resolve<unknown>(undefined);
    await underWay((onProgress) => {
      run = pool.run({
        ...opened(harbour),
        options: { draws: 100_000 },
        threads: 1,
        ...(onProgress && { onProgress }),
      });
      run.catch(() => {});
    });
    const options = { draws: 0 };
    const waiting = pool.run({ ...small, options, threads: 1 });
    await pool.threads[0]!.terminate();
    expect(await mistakeOf(run)).toMatchObject({ findings: [{ code: "worker-lost" }] });
    expect((await waiting)?.document).toEqual(runStudy(small.study, options));
  });
});

describe("a draw that is wrong", () => {
  // the square root of a normal draw below 0 is not a number; the first such draw is not the first draw
  const model = `
    inputs: { x: { is: number } }
    accounts:
      cost: { in: money, lines: { root: { amount: "0 EUR/year + sqrt(x) * 1 EUR/year" } } }
      life_years: { in: year, lines: { alive: { amount: 1 } } }
  `;
  const scenario = "inputs: { x: { mean: 3, se: 1, source: constructed } }";
  const source = caseFiles(model, scenario);

  test("ends the run with the same mistake for any number of threads, and leaves the pool usable", async () => {
    expect(findingsOf(model, scenario)).toEqual([]);
    const one = opened(scenarioPath, source);
    const options = { draws: 5000, seed: "roots" };
    let expected: unknown;
    try {
      runStudy(one.study, options);
    } catch (error) {
      expected = error;
    }
    expect(expected).toMatchObject({
      findings: [{ code: "not-finite", message: expect.stringMatching(/, draw \d+$/) }],
    });
    const pool = newPool(3);
    for (const [threads, blockDraws] of [
      [1, 1024],
      [2, 50],
      [3, 64],
    ] as const) {
      const found = await mistakeOf(pool.run({ ...one, options, threads, blockDraws }));
      expect(found).toEqual(expected);
      const small = opened(hiv);
      const after = { draws: 300, seed: "after" };
      expect((await pool.run({ ...small, options: after, threads }))?.document).toEqual(runStudy(small.study, after));
    }
  });

  test("a run that cannot be is refused before a thread is asked", async () => {
    const pool = newPool(1);
    const run = { ...opened(hiv), threads: 1 };
    expect(await mistakeOf(pool.run({ ...run, options: { draws: 1 } }))).toMatchObject({
      findings: [{ code: "out-of-range" }],
    });
    expect(await mistakeOf(pool.run({ ...run, options: { draws: 10, seed: "a/b" } }))).toMatchObject({
      findings: [{ code: "seed-invalid" }],
    });
    expect(pool.threads).toHaveLength(0);
  });
});
