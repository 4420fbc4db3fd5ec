import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { bench } from "vitest";
import type { Outcomes } from "../../src/engine/outcomes.ts";
import { evaluateRows, prepareRows } from "../../src/engine/rows.ts";
import { folderFiles } from "../../src/host/files.ts";
import { instantiate } from "../../src/host/instantiate.ts";
import { openStudy } from "../../src/study.ts";
import { workloadRows } from "./workload/rows.ts";

// The reference workload through the kernel and in plain C (gcc -O3 -march=native), turn by turn, answers compared first.
// Both are told in seconds of processor time of the user, all threads, and read as the ratio of their medians. The first
// turn of the kernel holds everything that a process does for the first time: emitting, compiling, warming up.
// Run: npx vitest bench --run --config tests/vitest.config.ts tests/bench

const draws = 10_000;
const turns = 7;

interface Peer {
  readonly seconds: number;
  readonly first: readonly number[];
  readonly means: readonly number[];
}

function median(list: readonly number[]): number {
  return [...list].sort((a, b) => a - b)[(list.length - 1) >> 1]!;
}

function spread(list: readonly number[]): string {
  return `median ${median(list).toFixed(3)} s, ${Math.min(...list).toFixed(3)} to ${Math.max(...list).toFixed(3)} s`;
}

/** Throws where an answer of the kernel is not that of plain C to 1e-9. */
function compare({ totals }: Outcomes, { first, means }: Peer): void {
  for (const [i, expected] of first.entries()) check(`first draw, ${i}`, totals[i]!, expected);
  for (const [i, expected] of means.entries()) {
    let sum = 0;
    for (let k = 0; k < draws; k++) sum += totals[k * means.length + i]!;
    check(`mean, ${i}`, sum / draws, expected);
  }
}

function check(what: string, found: number, expected: number): void {
  if (!(Math.abs(found / expected - 1) < 1e-9)) throw new Error(`${what}: ${found} is not ${expected}`);
}

let isDone = false;

bench(
  `workload, ${draws} draws, ${turns} turns`,
  () => {
    // called more than once whatever is asked for
    if (isDone) return;
    isDone = true;
    const folder = mkdtempSync(join(tmpdir(), "workload-"));
    try {
      const program = join(folder, "workload");
      const source = join(import.meta.dirname, "peers/workload.c");
      execFileSync("gcc", ["-O3", "-march=native", "-o", program, source, "-lm"]);
      const peer = (): Peer => JSON.parse(execFileSync(program, [String(draws)], { encoding: "utf8" })) as Peer;
      const study = openStudy(folderFiles(join(import.meta.dirname, "workload")), "scenarios/workload.scenario.yaml");
      const rows = workloadRows(study.program, draws);
      const prepared = prepareRows(study.program, study.expansion, { instantiate });
      const own: number[] = [];
      const plain: number[] = [];
      for (let turn = 0; turn < turns; turn++) {
        const before = process.cpuUsage();
        const outcomes = evaluateRows(prepared, rows)!;
        own.push(process.cpuUsage(before).user / 1e6);
        const result = peer();
        plain.push(result.seconds);
        compare(outcomes, result);
      }
      const cycles = draws * study.program.analysis.compare.length * study.program.grid.cycles;
      console.log(
        [
          `plain C: ${spread(plain)}, ${((median(plain) * 1e9) / cycles).toFixed(1)} ns for a draw, strategy and cycle`,
          `kernel: ${spread(own)}, ${((median(own) * 1e9) / cycles).toFixed(1)} ns`,
          `ratio: ${(median(own) / median(plain)).toFixed(3)}; first turn ${(own[0]! / median(plain)).toFixed(3)}`,
        ].join("\n"),
      );
    } finally {
      rmSync(folder, { recursive: true });
    }
  },
  { iterations: 1, time: 0, warmupIterations: 0, warmupTime: 0 },
);
