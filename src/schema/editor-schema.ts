import { z } from "zod";
import { Evidence } from "./evidence.ts";
import { Branch, Model } from "./model.ts";
import { Changes, RunRequest } from "./run-request.ts";
import { Scenario } from "./scenario.ts";

const kinds = { model: Model, scenario: Scenario, evidence: Evidence } as const;

/** What has a JSON Schema of its own. */
export type SchemaKind = keyof typeof kinds;

/** The JSON Schema (draft 2020-12) of model or scenario files, or of one entry of evidence, for editors that complete and check while typing. */
export function editorSchema(kind: SchemaKind): unknown {
  return z.toJSONSchema(kinds[kind], { io: "input" });
}

/** The schemas of the server's requests, which refer to each other as components of an OpenAPI document. */
export function componentSchemas(): Readonly<Record<string, unknown>> {
  const named = { Evidence, Branch, Model, Scenario, Changes, RunRequest };
  const registry = z.registry<{ id: string }>();
  for (const [id, schema] of Object.entries(named)) registry.add(schema, { id });
  const { schemas } = z.toJSONSchema(registry, { io: "input", uri: (id) => `#/components/schemas/${id}` });
  const bare = Object.fromEntries(
    Object.entries(schemas).map(([id, { $schema, $id, ...schema }]) => [id, schema as Record<string, unknown>]),
  );
  const request = bare["RunRequest"]!;
  const properties = { ...(request["properties"] as object), changes: { $ref: "#/components/schemas/Changes" } };
  return { ...bare, RunRequest: { ...request, properties } };
}
