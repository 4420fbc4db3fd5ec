import { z } from "zod";
import { Model } from "./model.ts";
import { Scenario } from "./scenario.ts";

/** The JSON Schema (draft 2020-12) of model or scenario files, for editors that complete and check while typing. */
export function editorSchema(kind: "model" | "scenario"): unknown {
  return z.toJSONSchema(kind === "model" ? Model : Scenario, { io: "input" });
}
