import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { fromHere } from "../host/files.ts";
import { runBase } from "../study.ts";
import { printAll, withFile } from "./commands.ts";
import type { Io } from "./io.ts";
import { serve } from "./serve.ts";
import { usualAddress } from "./usual-address.ts";

const demo = { id: "harbour-base", file: "scenarios/harbour/base.scenario.yaml" };
const project = fileURLToPath(new URL("../../", import.meta.url));

/** `start`: the demo's answers, then the page over the project's scenarios unless told not to serve. */
export async function startDemo(options: { readonly port: number; readonly serve: boolean }, io: Io): Promise<void> {
  if (!options.serve) {
    printAll(await withFile(join(project, demo.file), {}, (study) => runBase(study)), io);
    return;
  }
  const address = { ...usualAddress, port: options.port, root: project };
  await serve(address, io, async (answer) => printAll(await fromHere(project, () => answer(demo.id)), io));
}
