import { Hono } from "hono";
import { stackOf } from "./answered.ts";
import { type CaseShelf, caseShelf } from "./case-shelf.ts";
import { pageRoutes } from "./page.ts";
import type { ServerParts } from "./parts.ts";
import { problemResponse, Refusal, refusalOf } from "./problem.ts";
import { checkRoutes } from "./routes/checks.ts";
import { healthRoutes } from "./routes/health.ts";
import { openApiRoutes } from "./routes/openapi.ts";
import { questionRoutes } from "./routes/questions.ts";
import { runRoutes } from "./routes/runs.ts";
import { scenarioRoutes } from "./routes/scenarios.ts";
import { schemaRoutes } from "./routes/schemas.ts";
import { Cancelled, type RunDesk, runDesk } from "./run-desk.ts";
import { ownRequestsOnly, withSecurity } from "./security.ts";

/** The server without a port: requests in, answers out. */
export function serverApp(
  parts: ServerParts,
  shelf: CaseShelf = caseShelf(),
  desk: RunDesk = runDesk(parts, shelf),
): Hono {
  const app = new Hono();
  app.use(async (c, next) => {
    const start = parts.now();
    await next();
    parts.log({
      event: "request",
      method: c.req.method,
      path: c.req.path.slice(0, 200),
      status: c.res.status,
      milliseconds: parts.now() - start,
    });
  });
  app.use(withSecurity, ownRequestsOnly(parts.loopback));
  app.use("/api/*", async (c, next) => {
    await next();
    if (!c.res.headers.has("cache-control")) c.res.headers.set("cache-control", "no-store");
  });
  for (const routes of [
    healthRoutes(),
    scenarioRoutes(parts, shelf),
    runRoutes(parts, desk),
    questionRoutes(parts, desk),
    checkRoutes(parts, desk),
    schemaRoutes(),
    openApiRoutes(),
  ])
    app.route("/api", routes);
  refuseOtherMethods(app);
  app.all("/api/*", () => {
    throw new Refusal("unknown", "the routes are described at /api/openapi.json");
  });
  app.route("/", pageRoutes(parts));
  app.all("*", () => {
    throw new Refusal("method-not-allowed", "the page is only read", { headers: { allow: "GET, HEAD" } });
  });
  app.onError((error) => {
    if (error instanceof Cancelled) return new Response(null, { status: 499 });
    const refusal = refusalOf(error);
    if (refusal.problem.status === 500) parts.log({ event: "bug", error: stackOf(error) });
    return problemResponse(refusal);
  });
  return app;
}

/** After the routes themselves: any other method on one of their paths. */
function refuseOtherMethods(app: Hono): void {
  const routes = app.routes.filter(({ method }) => method !== "ALL");
  for (const path of new Set(routes.map((route) => route.path))) {
    const methods = routes.filter((route) => route.path === path).map(({ method }) => method);
    const allowed = methods.includes("GET") ? [...methods, "HEAD"] : methods;
    app.all(path, () => {
      throw new Refusal("method-not-allowed", `this route takes ${allowed.join(" and ")}`, {
        headers: { allow: allowed.join(", ") },
      });
    });
  }
}
