import { digest } from "../../src/numerics/digest.ts";
import type { Design } from "../../src/study.ts";
import { drawnWorkload } from "./drawn-workload.ts";

// What is digested, without Node: another host makes the same runs and compares the same text.

/** A run whose outcomes are digested. */
export interface DigestRun {
  /** Which files: the bench's workload or the project's own. */
  readonly of: "workload" | "project";
  readonly path: string;
  readonly draws: number;
  readonly seed: string;
  readonly design: Design;
}

/** The runs in order: the reference workload in each design, and every published scenario among these paths. */
export function digestRuns(paths: readonly string[]): readonly DigestRun[] {
  const designs = ["plain", "stratified", "quasi"] as const;
  return [
    ...designs.map(
      (design): DigestRun => ({
        of: "workload",
        path: drawnWorkload,
        draws: 2000,
        seed: "digest",
        design,
      }),
    ),
    ...paths
      .filter((path) => path.startsWith("scenarios/published/") && path.endsWith(".scenario.yaml"))
      .sort()
      .map((path): DigestRun => ({ of: "project", path, draws: 500, seed: "digest", design: "plain" })),
  ];
}

/** The text that is stored: a line for each run with the hash of its outcomes, then the digest of those lines. */
export function digestText(runs: readonly DigestRun[], hashes: readonly string[]): string {
  const lines = runs.map(
    ({ path, draws, design }, i) => `${hashes[i]} ${path.replace(/^scenarios\//, "")}, ${draws} ${design} draws`,
  );
  return [...lines, `${digest(lines.join("\n"))} all`, ""].join("\n");
}
