import { Hono } from "hono";
import { register } from "../../report/register.ts";
import { caseTexts } from "../../schema/case-texts.ts";
import { editorSchema } from "../../schema/editor-schema.ts";
import { scenarioFiles, scenarioPath } from "../asked-case.ts";
import type { CaseShelf } from "../case-shelf.ts";
import type { ServerParts } from "../parts.ts";

/**
 * `GET /scenarios`, `GET /scenarios/{id}` and `GET /scenarios/{id}/texts`: what the case holds, one scenario's inputs with
 * their evidence, and the texts it is made from.
 */
export function scenarioRoutes(parts: ServerParts, shelf: CaseShelf): Hono {
  return new Hono()
    .get("/scenarios", (c) => c.json({ scenarios: scenarioFiles(caseTexts(parts.files()), shelf) }))
    .get("/scenarios/:id", (c) => {
      const files = caseTexts(parts.files());
      const path = scenarioPath(files, shelf, c.req.param("id"));
      const { program } = shelf.open(files, path);
      return c.json({ ...register(program), path, schema: editorSchema("evidence") } as object);
    })
    .get("/scenarios/:id/texts", (c) => {
      const files = caseTexts(parts.files());
      const path = scenarioPath(files, shelf, c.req.param("id"));
      return c.json({ path, files: shelf.texts(files, path) });
    });
}
