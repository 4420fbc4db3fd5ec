import { describe, expect, test } from "vitest";
import { usualLimits } from "../../src/server/parts.ts";
import { hiv, jsonOf, testServer } from "./server-parts.ts";

const posts = ["/api/runs", "/api/checks", "/api/questions/worth"];

/** A body that arrives in pieces, its length not declared; says how many pieces were taken. */
function pieces(count: number, size: number) {
  let taken = 0;
  const stream = new ReadableStream<Uint8Array>({
    pull(controller) {
      if (taken === count) controller.close();
      else {
        taken += 1;
        controller.enqueue(new Uint8Array(size).fill(32));
      }
    },
  });
  return { stream, taken: () => taken };
}

describe("a request's body", () => {
  test.each(["", "{", "[1,", "scenario: a", '{"a":1}}', "\u0000"])("%j is no JSON: 400", async (body) => {
    for (const route of posts) {
      const answer = await testServer().post(route, body);
      expect(answer.status).toBe(400);
      expect(answer.headers.get("content-type")).toBe("application/problem+json");
      expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:invalid-json", status: 400 });
    }
  });

  test.each([
    [{}, "missing-key", "scenario"],
    [[], "wrong-shape", ""],
    [null, "wrong-shape", ""],
    ["text", "wrong-shape", ""],
    [{ scenario: 5 }, "wrong-shape", "scenario"],
    [{ scenario: hiv, drws: 5 }, "unknown-key", "drws"],
    [{ scenario: hiv, draws: -1 }, "wrong-shape", "draws"],
    [{ scenario: hiv, draws: 1.5 }, "wrong-shape", "draws"],
    [{ scenario: hiv, draws: "many" }, "wrong-shape", "draws"],
    [{ scenario: hiv, design: "other" }, "wrong-shape", "design"],
    [{ scenario: hiv, changes: [] }, "wrong-shape", "changes"],
    [{ scenario: hiv, files: { "a.csv": 5 } }, "wrong-shape", "files.a.csv"],
  ])("%j is not of the form: 400 with the place", async (body, code, path) => {
    const answer = await testServer().post("/api/runs", JSON.stringify(body));
    expect(answer.status).toBe(400);
    const problem = await jsonOf(answer);
    expect(problem.type).toBe("urn:steelyard:problem:invalid-request");
    expect(problem.findings[0]).toMatchObject({ code, file: "request", line: 1, column: 1 });
    expect([path, ""]).toContain(problem.findings[0].path);
  });

  test("nests at most 64 levels", async () => {
    const answer = await testServer().post("/api/runs", `{"changes":${"[".repeat(200_000)}`);
    expect(answer.status).toBe(400);
    expect(await jsonOf(answer)).toMatchObject({ findings: [{ code: "yaml-depth" }] });
  });

  test("keys that name an object's inner workings are keys like any other", async () => {
    const body = `{"scenario":"${hiv}","changes":{"inputs":{"__proto__":{"fixed":1},"constructor":{"fixed":1}}}}`;
    const answer = await testServer().post("/api/checks", body);
    expect(answer.status).toBe(422);
    expect(({} as Record<string, unknown>)["fixed"]).toBeUndefined();
  });

  test("must be declared as JSON", async () => {
    const answer = await testServer().post("/api/runs", {}, { headers: { "content-type": "text/plain" } });
    expect(answer.status).toBe(415);
  });

  test("of 10 MB is refused by its declared length", async () => {
    const body = " ".repeat(10_000_000);
    const headers = { "content-length": String(body.length) };
    const answer = await testServer().post("/api/runs", body, { headers });
    expect(answer.status).toBe(413);
    expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:body-too-large", status: 413 });
  });

  test("of undeclared length is refused, and not read for ever", async () => {
    const { stream, taken } = pieces(10_000, 100_000);
    const init = { method: "POST", body: stream, duplex: "half", headers: { "content-type": "application/json" } };
    const answer = await testServer().get("/api/runs", init as RequestInit);
    expect(answer.status).toBe(413);
    expect(taken() * 100_000).toBeLessThan(33_000_000);
  });

  test("of more than anybody would send is refused unread", async () => {
    const { stream, taken } = pieces(10_000, 100_000);
    const headers = { "content-type": "application/json", "content-length": "1000000000" };
    const init = { method: "POST", body: stream, duplex: "half", headers };
    const answer = await testServer().get("/api/runs", init as RequestInit);
    expect(answer.status).toBe(413);
    expect(taken()).toBeLessThan(3);
  });

  test("just under the limit is read", async () => {
    const text = JSON.stringify({ scenario: hiv });
    const answer = await testServer().post("/api/checks", text + " ".repeat(usualLimits.bodyBytes - text.length));
    expect(answer.status).toBe(200);
  });
});

describe("what is not there", () => {
  test.each([
    ["GET", "/api/nothing"],
    ["GET", "/api"],
    ["GET", "/api/"],
    ["POST", "/api/run"],
    ["GET", "/api/scenarios/none"],
    ["GET", "/api/scenarios/..%2f..%2fpackage.json"],
    ["GET", "/api/scenarios/%00"],
    ["GET", "/api/schemas/result"],
    ["POST", "/api/questions/everything"],
    ["GET", "/assets/none.js"],
  ])("%s %s: 404", async (method, path) => {
    const server = testServer();
    const answer = await (method === "POST" ? server.post(path, { scenario: hiv }) : server.get(path));
    expect(answer.status).toBe(404);
    expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:unknown", status: 404 });
  });

  test("a scenario mistyped is told the nearest one", async () => {
    for (const route of posts) {
      const answer = await testServer().post(route, { scenario: "hiv-mono-vs-comb" });
      expect(answer.status).toBe(404);
      expect(await jsonOf(answer)).toMatchObject({
        findings: [{ code: "unknown-reference", file: "request", path: "scenario", hint: `did you mean ${hiv}` }],
      });
    }
  });
});

describe("a method that a route does not take", () => {
  test.each([
    ["GET", "/api/runs", "POST"],
    ["DELETE", "/api/runs", "POST"],
    ["PUT", "/api/checks", "POST"],
    ["GET", "/api/questions/worth", "POST"],
    ["POST", "/api/scenarios", "GET, HEAD"],
    ["PATCH", `/api/scenarios/${hiv}`, "GET, HEAD"],
    ["POST", "/api/health", "GET, HEAD"],
    ["OPTIONS", "/api/openapi.json", "GET, HEAD"],
    ["POST", "/", "GET, HEAD"],
    ["DELETE", "/some/place", "GET, HEAD"],
  ])("%s %s: 405", async (method, path, allow) => {
    const answer = await testServer().get(path, { method });
    expect(answer.status).toBe(405);
    expect(answer.headers.get("allow")).toBe(allow);
    expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:method-not-allowed" });
  });

  test("HEAD is GET without a body", async () => {
    const answer = await testServer().get("/api/health", { method: "HEAD" });
    expect(answer.status).toBe(200);
    expect(await answer.text()).toBe("");
  });
});

describe("too much", () => {
  test.each([
    [{ draws: 1_000_001 }, "draws"],
    [{ changes: { runs: { draws: 2_000_000 } } }, "draws"],
  ])("work is refused with what would be right: 422 for %j", async (body, path) => {
    const answer = await testServer().post("/api/runs", { scenario: hiv, ...body });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({
      type: "urn:steelyard:problem:too-much-work",
      findings: [{ code: "out-of-range", file: "request", path, hint: "expected at most 1000000" }],
    });
  });

  test.each([
    ["cells", "scenario"],
    ["cellDraws", "draws"],
    ["kept", "draws"],
    ["traced", "trace"],
  ] as const)("of %s is refused", async (limit, path) => {
    const server = testServer({ limits: { ...usualLimits, [limit]: 50 } });
    const answer = await server.post("/api/runs", { scenario: hiv, draws: 100, trace: true });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({ findings: [{ code: "out-of-range", path }] });
  });

  test("cycles are refused by the compiler", async () => {
    const changes = { settings: { horizon: "6000 years" } };
    const answer = await testServer().post("/api/runs", { scenario: hiv, changes });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({
      type: "urn:steelyard:problem:invalid-input",
      findings: [{ code: "too-many-cycles", path: "settings.horizon" }],
    });
  });
});

describe("a mistake of ours", () => {
  test("is answered without its innards and logged with them", async () => {
    const server = testServer({
      files: () => {
        throw new Error("the disk is on fire in /secret/place");
      },
    });
    const answer = await server.get("/api/scenarios");
    expect(answer.status).toBe(500);
    const text = await answer.text();
    expect(text).not.toMatch(/fire|secret|\.ts/);
    expect(JSON.parse(text)).toMatchObject({ type: "urn:steelyard:problem:bug", status: 500 });
    expect(server.logged).toEqual([
      { event: "bug", error: expect.stringMatching(/on fire[\s\S]*\.ts/) },
      { event: "request", method: "GET", path: "/api/scenarios", status: 500, milliseconds: 0 },
    ]);
  });
});
