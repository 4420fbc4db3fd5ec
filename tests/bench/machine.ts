import { spawnSync } from "node:child_process";
import { cpus, totalmem } from "node:os";

/** The machine and the versions that were measured. */
export interface Machine {
  readonly processor: string;
  readonly cores: number;
  readonly memoryGb: number;
  /** By name: node, gcc, R, python, numpy; null where there is none. */
  readonly versions: Readonly<Record<string, string | null>>;
}

/** The first match of a pattern in what a program prints; null where it is not there or fails. */
function printed(program: string, args: readonly string[], pattern: RegExp): string | null {
  const { status, stdout } = spawnSync(program, args, { encoding: "utf8" });
  return status === 0 ? (pattern.exec(stdout)?.[1] ?? null) : null;
}

/** What the machine says of itself. */
export function machine(): Machine {
  const list = cpus();
  const version = /(\d+\.\d+\.\d+)/;
  return {
    processor: list[0]?.model.trim() ?? "unknown",
    cores: list.length,
    memoryGb: Math.round(totalmem() / 2 ** 30),
    versions: {
      node: process.versions.node,
      gcc: printed("gcc", ["-dumpfullversion"], version),
      R: printed("Rscript", ["--vanilla", "-e", "cat(as.character(getRversion()))"], version),
      python: printed("python3", ["-c", "import platform; print(platform.python_version())"], version),
      numpy: printed("python3", ["-c", "import numpy; print(numpy.__version__)"], version),
    },
  };
}

/** The machine in one sentence. */
export function machineText({ processor, cores, memoryGb, versions }: Machine): string {
  const found = Object.entries(versions).flatMap(([name, version]) => (version === null ? [] : [`${name} ${version}`]));
  return `${processor}, ${cores} cores, ${memoryGb} GB; ${found.join(", ")}`;
}
