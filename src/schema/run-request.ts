import { z } from "zod";
import { beginning, locatedJson } from "./json-body.ts";
import { Scenario, Settings } from "./scenario.ts";
import { validated } from "./validate.ts";

/** What a program may ask of a server: a scenario of the case or of the bundle, with what should be other than it says. */
export const RunRequest = z.strictObject({
  scenario: z.string(),
  /** Laid over the scenario as a file that extends it; checked there, so that its mistakes carry the scenario's paths. */
  changes: z.record(z.string(), z.unknown()).optional(),
  /** A bundle: texts of models, scenarios and tables by path. */
  files: z.record(z.string(), z.string()).optional(),
  draws: z.number().int().min(0).optional(),
  seed: z.union([z.string(), z.number()], { error: "text or a number" }).optional(),
  design: z.enum(["plain", "stratified", "quasi"]).optional(),
  trace: z.boolean().optional(),
});
export type RunRequest = z.infer<typeof RunRequest>;

/** What `changes` of a request may hold: any part of a scenario but the path of what it extends. */
export const Changes = Scenario.omit({ extends: true }).partial().extend({ settings: Settings.partial().optional() });

/** The file name under which mistakes of a request itself are reported. */
export const requestFile = "request";

/** A checked request. Throws unknown-key, missing-key, wrong-shape; paths are those of the request's body. */
export function readRunRequest(body: unknown): RunRequest {
  return validated(RunRequest, locatedJson(body, requestFile));
}

/** A place in a request. */
export const requestPlace = (path: string) => beginning(requestFile, path);
