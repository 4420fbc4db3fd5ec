import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { agree } from "./agreement.ts";
import { evaluated, openWorkload, ready } from "./own.ts";
import { peers, writeRows } from "./peers.ts";
import { expectedFirst } from "./workload/expected.ts";
import { workloadRows } from "./workload/rows.ts";

const draws = 3;
const names = ["cost", "QALYs", "life years", "events"];
let folder = "";

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "peers-"));
  writeRows(folder, draws);
});

afterAll(() => rmSync(folder, { recursive: true }));

describe("every way to run the workload gives the same outcomes to 1e-9", () => {
  const study = openWorkload();
  const own = evaluated(ready(study), workloadRows(study.program, draws)).totals;

  test("Steelyard gives the figures that belong to it", () => {
    expect(() => agree("Steelyard", own.slice(0, 16), Float64Array.from(expectedFirst), names)).not.toThrow();
  });

  test.for(peers)("$id", async (peer, { skip }) => {
    const { id } = peer;
    const absent = peer.prepare(folder);
    if (absent !== null) {
      console.log(`${id} is left out: ${absent}`);
      skip(absent);
    }
    const { outcomes, user, wall } = await peer.run(folder, draws);
    expect(outcomes).toHaveLength(draws * 16);
    expect(() => agree(id, outcomes, own, names)).not.toThrow();
    expect(user).toBeGreaterThanOrEqual(0);
    expect(wall).toBeGreaterThan(0);
  });
});
