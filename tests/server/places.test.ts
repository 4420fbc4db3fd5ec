import { describe, expect, test } from "vitest";
import { inputError } from "../../src/errors.ts";
import { usualLimits } from "../../src/server/parts.ts";
import { hiv, jsonOf, testServer } from "./server-parts.ts";

/** A pause that lasts until it is opened; counts those who came. */
function gate() {
  let come = 0;
  let open = (): void => {};
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return {
    pause: () => {
      come += 1;
      return opened;
    },
    open: () => open(),
    come: () => come,
  };
}

const until = async (isSo: () => boolean): Promise<void> => {
  for (let i = 0; i < 1000 && !isSo(); i++) await new Promise((resolve) => setTimeout(resolve, 2));
  expect(isSo()).toBe(true);
};

describe("places for runs", () => {
  test("are few: the next request is told when to come back, and served then", async () => {
    const { pause, open, come } = gate();
    const server = testServer({ pause });
    const running = Array.from({ length: usualLimits.places }, () =>
      server.post("/api/runs", { scenario: hiv, draws: 0 }),
    );
    await until(() => come() === usualLimits.places);
    for (const route of ["/api/runs", "/api/checks", "/api/questions/worth"]) {
      const answer = await server.post(route, { scenario: hiv });
      expect(answer.status).toBe(429);
      expect(Number(answer.headers.get("retry-after"))).toBeGreaterThan(0);
      expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:busy", status: 429 });
    }
    // what computes nothing is served meanwhile
    expect((await server.get("/api/health")).status).toBe(200);
    open();
    for (const answer of await Promise.all(running)) expect(answer.status).toBe(200);
    expect((await server.post("/api/checks", { scenario: hiv })).status).toBe(200);
  });

  test("are given up by refused requests and failed runs", async () => {
    const server = testServer();
    const changes = { expect: { impossible: "drug > 1000000 GBP/year" } };
    for (let i = 0; i < 3 * usualLimits.places; i++) {
      expect((await server.post("/api/runs", { scenario: "none" })).status).toBe(404);
      expect((await server.post("/api/runs", { scenario: hiv, draws: 9_999_999 })).status).toBe(422);
      expect((await server.post("/api/runs", { scenario: hiv, draws: 0, changes })).status).toBe(422);
    }
    expect((await server.post("/api/checks", { scenario: hiv })).status).toBe(200);
  });
});

describe("a run that nobody waits for", () => {
  test("ends at the next step and gives up its place", async () => {
    const { pause, open, come } = gate();
    const server = testServer({ pause, limits: { ...usualLimits, places: 1 } });
    const leave = new AbortController();
    const asked = server.post("/api/runs", { scenario: hiv, draws: 1000 }, { signal: leave.signal });
    await until(() => come() === 1);
    leave.abort();
    open();
    expect((await asked).status).toBe(499);
    expect(come()).toBe(1);
    expect((await server.post("/api/runs", { scenario: hiv, draws: 0 })).status).toBe(200);
  });

  test("ends when its events are no longer read", async () => {
    const server = testServer({ limits: { ...usualLimits, places: 1 } });
    const accept = { headers: { accept: "text/event-stream" } };
    const answer = await server.post("/api/runs", { scenario: "harbour-base", draws: 200_000 }, accept);
    const reader = answer.body!.getReader();
    expect(new TextDecoder().decode((await reader.read()).value)).toContain("event: progress");
    expect((await server.post("/api/runs", { scenario: hiv, draws: 0 })).status).toBe(429);
    await reader.cancel();
    // the run itself would take minutes
    const before = performance.now();
    let status = 429;
    while (status === 429 && performance.now() - before < 5000) {
      await new Promise((resolve) => setTimeout(resolve, 20));
      status = (await server.post("/api/runs", { scenario: hiv, draws: 0 })).status;
    }
    expect(status).toBe(200);
  });

  test("whose events are read slowly goes on, and the result still comes", async () => {
    const server = testServer({ limits: { ...usualLimits, places: 1 } });
    const accept = { headers: { accept: "text/event-stream" } };
    const answer = await server.post("/api/runs", { scenario: hiv, draws: 2000 }, accept);
    // nothing is read until another run has had the place
    let status = 429;
    for (let i = 0; i < 1000 && status === 429; i++) {
      await new Promise((resolve) => setTimeout(resolve, 5));
      status = (await server.post("/api/runs", { scenario: hiv, draws: 0 })).status;
    }
    expect(status).toBe(200);
    expect(await answer.text()).toMatch(/event: result\ndata: \{"meta"/);
  });
});

describe("while a run goes on", () => {
  test("other requests are answered: base cases and draws run on threads of their own", async () => {
    const server = testServer();
    // opens the case here and on a thread; a trace is not kept, so the base case is run again
    const asked = { scenario: "harbour-base", draws: 0, trace: true };
    expect((await server.post("/api/runs", asked)).status).toBe(200);
    let isDone = false;
    const run = server.post("/api/runs", asked).then((answer) => {
      isDone = true;
      return answer;
    });
    // the run holds this thread for its texts alone; as a whole it takes several hundred milliseconds
    let turns = 0;
    for (; !isDone; turns++) await new Promise((resolve) => setTimeout(resolve, 5));
    expect((await run).status).toBe(200);
    expect(turns).toBeGreaterThan(20);
  });
});

test("a run whose thread is lost is told so, and the next one is served", async () => {
  const refused = testServer({
    pool: {
      run: async () => {
        throw inputError({ file: "a.scenario.yaml", line: 1, column: 1, path: "" }, "worker-lost", "it was ended");
      },
    },
  });
  const answer = await refused.post("/api/runs", { scenario: hiv, draws: 0 });
  expect(answer.status).toBe(503);
  expect(await jsonOf(answer)).toMatchObject({
    type: "urn:steelyard:problem:lost",
    findings: [{ code: "worker-lost", file: "a.scenario.yaml" }],
  });
  expect(refused.logged.filter(({ event }) => event === "bug")).toEqual([]);
});
