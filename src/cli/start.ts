import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { runBase } from "../study.ts";
import { printAll, withFile } from "./commands.ts";
import type { Io } from "./io.ts";
import { serve } from "./serve.ts";
import { usualAddress } from "./usual-address.ts";

const project = fileURLToPath(new URL("../../", import.meta.url));

/** `start`: the demo's answers, then the page over the project's scenarios unless told not to serve. */
export async function startDemo(options: { readonly port: number; readonly serve: boolean }, io: Io): Promise<void> {
  const file = join(project, "scenarios/harbour/base.scenario.yaml");
  const demo = async (): Promise<void> => printAll(await withFile(file, {}, (study) => runBase(study)), io);
  if (options.serve) await serve({ ...usualAddress, port: options.port, root: project }, io, demo);
  else await demo();
}
