import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { folderFiles } from "../../src/host/files.ts";
import type { FileSource } from "../../src/schema/files.ts";
import { digestRuns, digestText } from "../digest/digest.ts";
import { withDrawnWorkload } from "../digest/drawn-workload.ts";
import { type Bench, browserPath, startBench } from "./browser.ts";
import { askWorker, documentOf } from "./page-worker.ts";

// The same text as of Node's threads: tests/digest makes it, this browser must agree.

const root = join(import.meta.dirname, "../..");
const project = folderFiles(root);
const workload = withDrawnWorkload(folderFiles(join(root, "tests/bench/workload")));

const texts = (files: FileSource): Readonly<Record<string, string>> =>
  Object.fromEntries(files.list().map((path) => [path, files.read(path) ?? ""]));

describe.skipIf(browserPath === undefined)("outcomes in a browser have the digest of Node", () => {
  let bench: Bench;
  beforeAll(async () => {
    bench = await startBench();
  });
  afterAll(() => bench?.close());

  test.each([1, 2, 3])("of %i threads", async (threads) => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo");
    const runs = digestRuns(project.list());
    const given = { workload: texts(workload), project: texts(project) };
    const hashes: string[] = [];
    for (const { of, path, draws, seed, design } of runs) {
      const settings = { draws, seed, design };
      const heard = await askWorker(page, { path, files: given[of] }, { ask: "run", changes: {}, settings, threads });
      expect(heard.ready.hasKernels).toBe(true);
      hashes.push(documentOf(heard).answers.sure!.outcomesHash);
    }
    expect(digestText(runs, hashes)).toBe(readFileSync(join(root, "tests/golden/digest.txt"), "utf8"));
    expect(complaints).toEqual([]);
    await page.context().close();
  });
});
