import { describe, expect, test } from "vitest";
import { isLoopback } from "../../src/server/security.ts";
import { hiv, jsonOf, testServer } from "./server-parts.ts";

const headers = {
  "content-security-policy":
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; connect-src 'self'; font-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-embedder-policy": "require-corp",
  "cross-origin-resource-policy": "same-origin",
};

describe("security headers", () => {
  test.each([
    ["GET", "/", 503],
    ["GET", "/api/health", 200],
    ["GET", `/api/scenarios/${hiv}`, 200],
    ["GET", "/api/nothing", 404],
    ["GET", "/..%2fx", 400],
    ["DELETE", "/api/runs", 405],
    ["POST", "/api/runs", 200],
    ["POST", "/api/checks", 200],
  ])("stand on the answer to %s %s", async (method, path, status) => {
    const server = testServer();
    const answer = await (method === "POST"
      ? server.post(path, { scenario: hiv, draws: 0 })
      : server.get(path, { method }));
    expect(answer.status).toBe(status);
    expect(Object.fromEntries([...answer.headers].filter(([name]) => name in headers))).toEqual(headers);
    if (path.startsWith("/api")) expect(answer.headers.get("cache-control")).toBe("no-store");
  });

  test("stand on events, on refusals of events, and on mistakes of ours", async () => {
    const accept = { headers: { accept: "text/event-stream" } };
    const broken = testServer({ files: () => JSON.parse("no files") });
    for (const answer of [
      await testServer().post("/api/runs", { scenario: hiv, draws: 0 }, accept),
      await testServer().post("/api/runs", { scenario: "none" }, accept),
      await testServer().post("/api/runs", " ".repeat(3_000_000)),
      await testServer().post("/api/runs", "{"),
      await broken.get("/api/scenarios"),
    ])
      expect(Object.fromEntries([...answer.headers].filter(([name]) => name in headers))).toEqual(headers);
  });
});

describe("a request addressed to another name", () => {
  const names = [
    "evil.example",
    "localhost.evil.example",
    "127.0.0.1.evil.example",
    "0.0.0.0",
    "127.0.0.1@evil.example",
  ];

  test.each(names)("%s is refused where only this machine should reach the server", async (host) => {
    for (const init of [{ headers: { host } }, { headers: { host, origin: `http://${host}` } }]) {
      const answer = await testServer().get("/api/health", init);
      expect(answer.status).toBe(403);
      expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:foreign-host" });
    }
    if (!host.includes("@")) expect((await testServer().get(`http://${host}/`)).status).toBe(403);
  });

  test("is served where others may reach it", async () => {
    const answer = await testServer({ loopback: false }).get("/api/health", { headers: { host: "models.example" } });
    expect(answer.status).toBe(200);
  });

  test.each(["localhost", "localhost:8417", "LOCALHOST:1", "127.0.0.1:8417", "127.8.9.1", "[::1]:8417"])(
    "%s is this machine",
    async (host) => {
      expect((await testServer().get("/api/health", { headers: { host } })).status).toBe(200);
    },
  );

  test.each([
    ["127.0.0.1", true],
    ["::1", true],
    ["localhost", true],
    ["0.0.0.0", false],
    ["::", false],
    ["192.168.1.5", false],
  ])("the address %s is reached by this machine only: %s", (host, only) => {
    expect(isLoopback(host)).toBe(only);
  });
});

describe("a request from another site", () => {
  const own = { host: "127.0.0.1:8417" };

  test.each([
    { origin: "http://evil.example" },
    { origin: "null" },
    { origin: "http://127.0.0.1:9999" },
    { origin: "http://localhost:8417" },
    { origin: "file://" },
    { "sec-fetch-site": "cross-site" },
    { "sec-fetch-site": "same-site" },
    { origin: "http://127.0.0.1:8417", "sec-fetch-site": "cross-site" },
  ] as Record<string, string>[])("with %j computes nothing", async (given) => {
    for (const path of ["/api/runs", "/api/checks", "/api/questions/worth"]) {
      const answer = await testServer().post(path, { scenario: hiv }, { headers: { ...own, ...given } });
      expect(answer.status).toBe(403);
      expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:foreign-origin" });
    }
  });

  test.each([
    {},
    { origin: "http://127.0.0.1:8417" },
    { origin: "http://127.0.0.1:8417", "sec-fetch-site": "same-origin" },
    { "sec-fetch-site": "none" },
  ] as Record<string, string>[])("is not one with %j", async (given) => {
    const answer = await testServer().post("/api/checks", { scenario: hiv }, { headers: { ...own, ...given } });
    expect(answer.status).toBe(200);
    expect(answer.headers.get("access-control-allow-origin")).toBeNull();
  });
});
