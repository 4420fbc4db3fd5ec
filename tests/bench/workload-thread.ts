import { parentPort, workerData } from "node:worker_threads";
import { evaluateRows } from "../../src/engine/rows.ts";
import { openWorkload, ready } from "./own.ts";
import type { ThreadBoard } from "./threads.ts";

// A thread of the workload: when told, takes blocks of rows until none is left, and says so.
const { rows, outcomes, next, blockDraws } = workerData as ThreadBoard;
const study = openWorkload();
const prepared = ready(study);
const width = study.program.components.length;
const draws = rows.length / width;
const perDraw = outcomes.length / draws;

parentPort!.on("message", () => {
  for (;;) {
    const from = Atomics.add(next, 0, 1) * blockDraws;
    if (from >= draws) break;
    const block = rows.slice(from * width, Math.min(draws, from + blockDraws) * width);
    const found = evaluateRows(prepared, block, { firstDraw: from, rowsInAll: draws })!;
    outcomes.set(found.totals, from * perDraw);
  }
  parentPort!.postMessage("done");
});
