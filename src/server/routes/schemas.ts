import { Hono } from "hono";
import { editorSchema } from "../../schema/editor-schema.ts";
import { Refusal } from "../problem.ts";

/** `GET /schemas/{kind}`: the JSON Schema of model or scenario files. */
export function schemaRoutes(): Hono {
  return new Hono().get("/schemas/:kind", (c) => {
    const kind = c.req.param("kind");
    if (kind !== "model" && kind !== "scenario") throw new Refusal("unknown", "the schemas are model and scenario");
    return c.json(editorSchema(kind) as object);
  });
}
