import { Hono } from "hono";
import { answered } from "../answered.ts";
import type { ServerParts } from "../parts.ts";
import type { RunDesk } from "../run-desk.ts";

/** `POST /runs`: the whole result document. */
export function runRoutes(parts: ServerParts, desk: RunDesk): Hono {
  return new Hono().post("/runs", (c) => answered(c, desk, parts, (document) => document));
}
