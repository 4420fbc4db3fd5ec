import { fileURLToPath } from "node:url";
import { runBase } from "../study.ts";
import { printAll, withFile } from "./commands.ts";
import type { Io } from "./io.ts";

const demo = fileURLToPath(new URL("../../scenarios/harbour/base.scenario.yaml", import.meta.url));

/** `start`: the demo's answers. */
export function startDemo(io: Io): void {
  printAll(
    withFile(demo, {}, (study) => runBase(study)),
    io,
  );
}
