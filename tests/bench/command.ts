import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { projectFolder } from "./project.ts";
import type { Taken } from "./rounds.ts";

/** What a command took, and the largest resident memory of its process, in MB. */
export interface CommandTaken extends Taken {
  readonly memoryMb: number;
}

/** Runs the built command line in a process of its own, from its start to its end. Throws where it fails. */
export function command(args: readonly string[]): CommandTaken {
  const folder = projectFolder();
  const program = join(folder, ".bench/tests/bench/command-run.js");
  const { status, stderr } = spawnSync(process.execPath, [program, ...args], {
    cwd: folder,
    encoding: "utf8",
    stdio: ["ignore", "ignore", "pipe"],
  });
  if (status !== 0) throw new Error(`steelyard ${args.join(" ")} failed: ${stderr}`);
  return JSON.parse(stderr.trim().split("\n").at(-1)!) as CommandTaken;
}
