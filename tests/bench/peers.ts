import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expressionOutcomes } from "./peers/expressions.ts";
import { projectFolder } from "./project.ts";
import { type Taken, timed } from "./rounds.ts";
import { parameters, peerRows } from "./workload/rows.ts";

/** The reference workload written in another way. */
export interface Peer {
  readonly id: string;
  readonly label: string;
  /** Draws that it takes of 10,000; where they are fewer its time is told for all. */
  readonly draws: number;
  readonly rounds: number;
  /** Makes it ready in a folder of its own; returns why it cannot be, or null. */
  prepare(folder: string): string | null;
  /** Takes the first so many rows of the folder's file of rows; comes back with its outcomes, `[draw][strategy][4]`. */
  run(folder: string, draws: number): Promise<Taken & { readonly outcomes: Float64Array }>;
}

/** The draws of the workload. */
export const allDraws = 10_000;

const rowsFile = "rows.bin";

/** Writes the file of rows that peers read. */
export function writeRows(folder: string, draws: number): void {
  writeFileSync(join(folder, rowsFile), peerRows(draws));
}

/** The peers in the order of the table; plain C is the first. */
export const peers: readonly Peer[] = [
  compiled("plain-c", "plain C (gcc -O3 -march=native)", "workload.c"),
  compiled("vector-c", "C, vectors of 8 draws, own exp", "vector.c"),
  program("numpy", "NumPy, vectorised over draws", ["python3", "vectors.py"], {
    without: ["python3", ["-c", "import numpy"], "python3 with numpy"],
  }),
  program("r-vectors", "base R, vectorised over draws", ["Rscript", "--vanilla", "vectors.R"], { rounds: 3 }),
  program("r-loops", "base R, loops and a matrix product", ["Rscript", "--vanilla", "loops.R"], {
    draws: 100,
    rounds: 3,
  }),
  {
    id: "mathjs",
    label: "mathjs, compiled expressions each cycle",
    draws: 50,
    rounds: 3,
    prepare: () => null,
    async run(_folder, draws) {
      const rows = peerRows(draws);
      const names = parameters.map(([name]) => name);
      const { user, wall, result } = await timed(() => expressionOutcomes(rows, draws, names));
      return { user, wall, outcomes: result };
    },
  },
];

function source(file: string): string {
  return join(projectFolder(), "tests/bench/peers", file);
}

function compiled(id: string, label: string, file: string): Peer {
  return {
    id,
    label,
    draws: allDraws,
    rounds: Number.POSITIVE_INFINITY,
    prepare(folder) {
      const { error, status, stderr } = spawnSync(
        "gcc",
        ["-O3", "-march=native", "-o", join(folder, id), source(file), "-lm"],
        { encoding: "utf8" },
      );
      if (error !== undefined) return "gcc is not there";
      if (status !== 0) throw new Error(`${file} does not compile: ${stderr}`);
      return null;
    },
    run: async (folder, draws) => ran(join(folder, id), [], folder, draws),
  };
}

function program(
  id: string,
  label: string,
  [command, ...args]: readonly [string, ...string[]],
  more: {
    readonly draws?: number;
    readonly rounds?: number;
    readonly without?: readonly [string, readonly string[], string];
  },
): Peer {
  const [needs, test, name] = more.without ?? [command, ["--version"], command];
  const file = args.at(-1)!;
  return {
    id,
    label,
    draws: more.draws ?? allDraws,
    rounds: more.rounds ?? Number.POSITIVE_INFINITY,
    prepare: () => (spawnSync(needs, test).status === 0 ? null : `${name} is not there`),
    run: async (folder, draws) => ran(command, [...args.slice(0, -1), source(file)], folder, draws),
  };
}

/** Runs a peer that is a program of its own and times itself. */
function ran(
  command: string,
  args: readonly string[],
  folder: string,
  draws: number,
): Taken & { readonly outcomes: Float64Array } {
  const out = join(folder, "outcomes.bin");
  const { error, status, stdout, stderr } = spawnSync(command, [...args, join(folder, rowsFile), String(draws), out], {
    encoding: "utf8",
    // one thread: nothing here is shared among threads
    env: { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" },
  });
  if (error !== undefined || status !== 0) throw new Error(`${command} failed: ${error?.message ?? stderr}`);
  const { user, wall } = JSON.parse(stdout) as Taken;
  const bytes = readFileSync(out);
  return { user, wall, outcomes: new Float64Array(new Uint8Array(bytes).buffer) };
}
