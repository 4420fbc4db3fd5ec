import { Hono } from "hono";
import type { ServerParts } from "./parts.ts";
import { Refusal } from "./problem.ts";

const types: ReadonlyMap<string, string> = new Map([
  ["html", "text/html; charset=utf-8"],
  ["js", "text/javascript; charset=utf-8"],
  ["css", "text/css; charset=utf-8"],
  ["json", "application/json"],
  ["map", "application/json"],
  ["webmanifest", "application/manifest+json"],
  ["txt", "text/plain; charset=utf-8"],
  ["svg", "image/svg+xml"],
  ["png", "image/png"],
  ["ico", "image/x-icon"],
  ["woff2", "font/woff2"],
  ["wasm", "application/wasm"],
]);

const notBuilt = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>Steelyard</title>
<h1>The page is not built yet</h1>
<p>Run <code>npm run setup</code> in the project folder, then reload. The interface for programs already answers:
<a href="/api/openapi.json">/api/openapi.json</a>.</p>
</html>
`;

/** The built page: its files, and its index for every other path without an ending, which the page itself reads. */
export function pageRoutes(parts: ServerParts): Hono {
  return new Hono().get("*", async (c) => {
    const path = pagePath(c.req.url);
    const ending = /\.([A-Za-z0-9]+)$/.exec(path)?.[1]?.toLowerCase();
    const body = ending === undefined ? undefined : await parts.page(path);
    if (body !== undefined) {
      // built files carry a digest of their content in their names
      const caching = path.startsWith("assets/") ? "public, max-age=31536000, immutable" : "no-cache";
      const type = types.get(ending ?? "") ?? "application/octet-stream";
      return c.body(body, 200, { "content-type": type, "cache-control": caching });
    }
    if (ending !== undefined && path !== "index.html") throw new Refusal("unknown", "no such file");
    const index = await parts.page("index.html");
    return index === undefined
      ? c.html(notBuilt, 503)
      : c.body(index, 200, { "content-type": "text/html; charset=utf-8", "cache-control": "no-cache" });
  });
}

/**
 * The path of a page's file as its address gives it. Throws a refusal for whatever is not words joined by `/`.
 * @example pagePath("http://localhost/assets/index.js?x=1") // "assets/index.js"
 */
export function pagePath(url: string): string {
  const { pathname } = new URL(url);
  let path: string;
  try {
    path = decodeURIComponent(pathname).slice(1);
  } catch {
    throw new Refusal("invalid-path", "the path is not well encoded");
  }
  const isPlain = path.split("/").every((part) => /^[A-Za-z0-9_-][A-Za-z0-9_.~-]*$/.test(part));
  if (path !== "" && !isPlain) throw new Refusal("invalid-path", "a path is words joined by /");
  return path;
}
