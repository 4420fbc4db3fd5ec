import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { pageFiles } from "../../src/host/page-files.ts";
import { jsonOf, testServer } from "./server-parts.ts";

let folder: string;
const page = (path: string) => pageFiles(join(folder, "web"))(path);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "steelyard-page-"));
  mkdirSync(join(folder, "web/assets"), { recursive: true });
  writeFileSync(join(folder, "web/index.html"), "<!doctype html><title>the page</title>");
  writeFileSync(join(folder, "web/assets/main-1a2b.js"), "export {};");
  writeFileSync(join(folder, "web/assets/style.css"), "body {}");
  writeFileSync(join(folder, "web/steelyard.svg"), "<svg/>");
  writeFileSync(join(folder, "secret.txt"), "a secret");
  symlinkSync(join(folder, "secret.txt"), join(folder, "web/link.txt"));
  symlinkSync(folder, join(folder, "web/up"));
});

afterAll(() => rmSync(folder, { recursive: true }));

describe("the page", () => {
  test.each([
    ["/", "text/html; charset=utf-8", "no-cache", "the page"],
    ["/index.html", "text/html; charset=utf-8", "no-cache", "the page"],
    ["/scenarios/harbour-base", "text/html; charset=utf-8", "no-cache", "the page"],
    ["/assets/main-1a2b.js", "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", "export"],
    ["/assets/style.css?v=1", "text/css; charset=utf-8", "public, max-age=31536000, immutable", "body"],
    ["/steelyard.svg", "image/svg+xml", "no-cache", "<svg/>"],
  ])("%s is served", async (path, type, caching, text) => {
    const answer = await testServer({ page }).get(path);
    expect(answer.status).toBe(200);
    expect(answer.headers.get("content-type")).toBe(type);
    expect(answer.headers.get("cache-control")).toBe(caching);
    expect(await answer.text()).toContain(text);
  });

  test.each([
    ["/../secret.txt", 404],
    ["/%2e%2e/secret.txt", 404],
    ["/..%2fsecret.txt", 400],
    ["/%2e%2e%2fsecret.txt", 400],
    ["/..%5csecret.txt", 400],
    ["/..\\secret.txt", 404],
    ["/assets/..%2f..%2fsecret.txt", 400],
    ["/%252e%252e%252fsecret.txt", 400],
    ["/assets%2f..%2f..%2fsecret.txt", 400],
    ["/secret.txt%00.js", 400],
    ["/%00", 400],
    ["/index.html%00", 400],
    ["/%ff", 400],
    ["/%", 400],
    ["/.git/config", 400],
    ["/.env", 400],
    ["//etc/passwd", 400],
    ["/file:///etc/passwd", 400],
    ["/C:/secret.txt", 400],
    ["/link.txt", 404],
    ["/up/secret.txt", 404],
    ["/assets/", 400],
    ["/nothing.js", 404],
  ])("%s is not: %i", async (path, status) => {
    const answer = await testServer({ page }).get(`http://localhost${path}`);
    expect(answer.status).toBe(status);
    expect(await jsonOf(answer)).toMatchObject({ status });
  });

  test("that is not built says how to build it", async () => {
    const answer = await testServer().get("/");
    expect(answer.status).toBe(503);
    expect(answer.headers.get("content-type")).toMatch(/^text\/html/);
    expect(await answer.text()).toContain("npm run setup");
  });

  test("is read from its folder only, whatever is asked", async () => {
    for (const path of ["../secret.txt", "up/secret.txt", "link.txt", "assets/../../secret.txt", "", ".", "assets"])
      expect(await page(path)).toBeUndefined();
    expect(await pageFiles(join(folder, "none"))("index.html")).toBeUndefined();
  });
});
