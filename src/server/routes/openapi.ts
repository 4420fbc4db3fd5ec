import { Hono } from "hono";
import { openApiDocument } from "../openapi.ts";

/** `GET /openapi.json`: the description of all routes. */
export function openApiRoutes(): Hono {
  return new Hono().get("/openapi.json", (c) => c.json(openApiDocument() as object));
}
