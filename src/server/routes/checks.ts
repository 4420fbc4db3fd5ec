import { Hono } from "hono";
import { structureDetail } from "../../report/structure-summary.ts";
import { runRequest } from "../body.ts";
import type { RunDesk } from "../run-desk.ts";

/** `POST /checks`: compiles and expands; what the scenario holds, or its mistakes. */
export function checkRoutes(desk: RunDesk): Hono {
  return new Hono().post("/checks", async (c) => {
    const request = await runRequest(c);
    const leave = desk.place();
    try {
      const { program, expansion } = desk.study(request);
      return c.json(structureDetail(program, expansion));
    } finally {
      leave();
    }
  });
}
