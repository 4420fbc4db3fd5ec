import { Hono } from "hono";
import { version } from "../../version.ts";

/** `GET /health`: that the server answers, and which version it is. */
export function healthRoutes(): Hono {
  return new Hono().get("/health", (c) => c.json({ status: "ok", version }));
}
