import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { copied } from "../../src/host/case-copy.ts";
import { folderFiles } from "../../src/host/files.ts";
import { instantiate } from "../../src/host/instantiate.ts";
import { type PoolRun, runPool } from "../../src/host/run-pool.ts";
import { openStudy, runStudy } from "../../src/study.ts";
import { freshBuild } from "../built.ts";
import { type DigestRun, digestRuns, digestText } from "./digest.ts";
import { withDrawnWorkload } from "./drawn-workload.ts";

// One text for any number of threads, any blocks and any host. To accept outcomes that
// moved, run with GOLDEN=write and commit as `numbers:`.

const root = join(import.meta.dirname, "../..");
const project = folderFiles(root);
const workload = withDrawnWorkload(folderFiles(join(root, "tests/bench/workload")));
const runs = digestRuns(project.list());
const path = join(root, "tests/golden/digest.txt");

const cases = new Map<string, Pick<PoolRun, "study" | "copy">>();

function opened({ of, path: scenario }: DigestRun): Pick<PoolRun, "study" | "copy"> {
  const found = cases.get(scenario);
  if (found !== undefined) return found;
  const { opened: study, copy } = copied(of === "workload" ? workload : project, scenario, openStudy);
  cases.set(scenario, { study, copy });
  return { study, copy };
}

const stored = (): string => (existsSync(path) ? readFileSync(path, "utf8") : "none; run with GOLDEN=write");

const pool = runPool(3);
beforeAll(freshBuild);
afterAll(() => pool.close());

test("of one thread in this process", () => {
  const hashes = runs.map((run) => {
    const { draws, seed, design } = run;
    return runStudy(opened(run).study, { draws, seed, design, instantiate }).answers.sure!.outcomesHash;
  });
  if (process.env["GOLDEN"] === "write") writeFileSync(path, digestText(runs, hashes));
  expect(digestText(runs, hashes)).toBe(stored());
});

test.each([
  [1, 1000],
  [2, 256],
  [3, 64],
])("of %i threads, blocks of %i draws", async (threads, blockDraws) => {
  const hashes: string[] = [];
  for (const run of runs) {
    const { draws, seed, design } = run;
    const parts = await pool.run({ ...opened(run), options: { draws, seed, design }, threads, blockDraws });
    hashes.push(parts!.document.answers.sure!.outcomesHash);
  }
  expect(digestText(runs, hashes)).toBe(stored());
});

test("of the reference workload for each number of threads with each size of blocks, the usual one among them", async () => {
  const [run] = runs;
  const { draws, seed, design } = run!;
  const [line] = stored().split("\n");
  for (const threads of [1, 2, 3])
    for (const blockDraws of [undefined, 64, 1000]) {
      const sizes = { threads, ...(blockDraws === undefined ? {} : { blockDraws }) };
      const parts = await pool.run({ ...opened(run!), options: { draws, seed, design }, ...sizes });
      expect(line, JSON.stringify(sizes)).toContain(parts!.document.answers.sure!.outcomesHash);
    }
});

test("the drawn workload varies in all its inputs", () => {
  const { program, sampler } = opened(runs[0]!).study;
  expect(program.components).toHaveLength(60);
  expect(sampler.laws.drawings.filter(({ how }) => how === "law")).toHaveLength(60);
});
