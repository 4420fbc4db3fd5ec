import { Worker } from "node:worker_threads";

/** What threads of the workload share: all rows, a place for all outcomes, the number of the next block. */
export interface ThreadBoard {
  readonly rows: Float64Array;
  readonly outcomes: Float64Array;
  readonly next: Int32Array;
  readonly blockDraws: number;
}

/** Threads that take all rows together, again and again. */
export interface Threads {
  /** The outcomes, `[draw][strategy][4]`, of all rows. */
  run(): Promise<Float64Array>;
  end(): Promise<void>;
}

function shared(length: number): Float64Array {
  return new Float64Array(new SharedArrayBuffer(8 * length));
}

/** Starts so many threads for the workload's rows, which take blocks of 512 draws as they come. */
export function workloadThreads(count: number, rows: Float64Array, outcomes: number): Threads {
  const board: ThreadBoard = {
    rows: shared(rows.length),
    outcomes: shared(outcomes),
    next: new Int32Array(new SharedArrayBuffer(4)),
    blockDraws: 512,
  };
  board.rows.set(rows);
  const file = new URL("./workload-thread.js", import.meta.url);
  const workers = Array.from({ length: count }, () => new Worker(file, { workerData: board }));
  return {
    async run() {
      Atomics.store(board.next, 0, 0);
      board.outcomes.fill(Number.NaN);
      await Promise.all(
        workers.map(
          (worker) =>
            new Promise<void>((done, failed) => {
              worker.removeAllListeners();
              worker.once("message", () => done());
              worker.once("error", failed);
              worker.postMessage("go");
            }),
        ),
      );
      return Float64Array.from(board.outcomes);
    },
    async end() {
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}
