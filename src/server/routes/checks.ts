import { Hono } from "hono";
import { structureSummary } from "../../report/structure-summary.ts";
import { structureText } from "../../report/structure-text.ts";
import { runRequest } from "../body.ts";
import type { ServerParts } from "../parts.ts";
import type { RunDesk } from "../run-desk.ts";

/** `POST /checks`: compiles and expands; what the scenario holds, or its mistakes. */
export function checkRoutes(parts: ServerParts, desk: RunDesk): Hono {
  return new Hono().post("/checks", async (c) => {
    const { signal } = c.req.raw;
    const request = await runRequest(c, parts.limits.bodyBytes);
    const leave = await desk.place(signal);
    try {
      const { program, expansion, sampler } = desk.study(request);
      const summary = structureSummary(program, expansion, sampler.laws.warnings);
      return c.json({ ...summary, structure: structureText(program, expansion) });
    } finally {
      leave();
    }
  });
}
