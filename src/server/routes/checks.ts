import { Hono } from "hono";
import { structureDetail } from "../../report/structure-summary.ts";
import { runRequest } from "../body.ts";
import type { ServerParts } from "../parts.ts";
import type { RunDesk } from "../run-desk.ts";

/** `POST /checks`: compiles and expands; what the scenario holds, or its mistakes. */
export function checkRoutes(parts: ServerParts, desk: RunDesk): Hono {
  return new Hono().post("/checks", async (c) => {
    const request = await runRequest(c, parts.limits.bodyBytes);
    const leave = desk.place();
    try {
      const { program, expansion } = desk.study(request);
      return c.json(structureDetail(program, expansion));
    } finally {
      leave();
    }
  });
}
