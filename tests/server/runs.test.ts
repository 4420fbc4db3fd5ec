import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { folderFiles } from "../../src/host/files.ts";
import { openStudy, runStudy } from "../../src/study.ts";
import { runCommand } from "../cli/run-command.ts";
import { eventsOf, hiv, jsonOf, projectRoot, testServer } from "./server-parts.ts";

const published = "scenarios/published";
const textOf = (path: string): string => readFileSync(join(projectRoot, path), "utf8");
const rounded = `${published}/hiv-mono-vs-combo-rounded.scenario.yaml`;

describe("a run", () => {
  test("answers with the document of the command line", async () => {
    const server = testServer();
    const answer = await server.post("/api/runs", { scenario: hiv, draws: 0, trace: true });
    expect(answer.status).toBe(200);
    const { out } = await runCommand("run", `${published}/${hiv}.scenario.yaml`, "--draws", "0", "--trace", "--json");
    expect(await jsonOf(answer)).toEqual(JSON.parse(out));
  });

  test("takes draws, seed and design", async () => {
    const server = testServer();
    const body = { scenario: hiv, draws: 40, seed: 7, design: "stratified" };
    const found = await jsonOf(server.post("/api/runs", body));
    const study = openStudy(folderFiles(projectRoot), `${published}/${hiv}.scenario.yaml`);
    const expected = runStudy(study, { draws: 40, seed: "7", design: "stratified" });
    expect(found).toEqual(JSON.parse(JSON.stringify(expected)));
    expect(found.meta).toMatchObject({ draws: 40, seed: "7", design: "stratified" });
  });

  test("a question gets its own answer and the head", async () => {
    const server = testServer();
    const all = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0 }));
    const one = await jsonOf(server.post("/api/questions/worth", { scenario: hiv, draws: 0 }));
    expect(one).toEqual({ meta: all.meta, answers: { worth: all.answers.worth } });
  });

  test("a base case is run once as long as its texts stay", async () => {
    let runs = 0;
    const { pool } = testServer();
    const counting: typeof pool = {
      run(asked) {
        runs += 1;
        return pool.run(asked);
      },
    };
    const server = testServer({ pool: counting });
    const first = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0 }));
    expect(await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0 }))).toEqual(first);
    await server.post("/api/questions/costs", { scenario: hiv, draws: 0 });
    expect(runs).toBe(1);
    const changes = { settings: { horizon: "5 years" } };
    expect(await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0, changes }))).not.toEqual(first);
    await server.post("/api/runs", { scenario: hiv, draws: 0, trace: true });
    await server.post("/api/runs", { scenario: hiv, draws: 20 });
    expect(runs).toBe(4);
  });

  test("a question that needs draws is refused without them", async () => {
    const answer = await testServer().post("/api/questions/sure", { scenario: hiv, draws: 0 });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({ type: "urn:steelyard:problem:not-answered" });
  });

  test("a check tells what a scenario holds", async () => {
    const answer = await testServer().post("/api/checks", { scenario: hiv });
    expect(answer.status).toBe(200);
    expect(await jsonOf(answer)).toMatchObject({
      scenario: hiv,
      model: "hiv-mono-vs-combo",
      strategies: ["mono", "combo"],
      groups: 1,
      inputs: 18,
      states: 3,
      cycles: 20,
      unused: [],
      warnings: expect.any(Array),
      structure: expect.stringContaining("progression: chance [stage A]"),
    });
  });
});

describe("changes", () => {
  test("give what the same text in a variant's file gives, to the hash", async () => {
    const { extends: _, ...changes } = parse(textOf(rounded)) as Record<string, unknown>;
    const server = testServer();
    const changed = await jsonOf(server.post("/api/runs", { scenario: hiv, changes, draws: 0 }));
    const file = await jsonOf(server.post("/api/runs", { scenario: "hiv-mono-vs-combo-rounded", draws: 0 }));
    expect(changed).toEqual(file);
    const base = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0 }));
    expect(changed.meta.hash).not.toBe(base.meta.hash);
  });

  test("reach down to one strategy's value of an input", async () => {
    const by = { swallowed: { fixed: "900 EUR", why: "an offer", source: "invented" } };
    // the scenario's own assertion holds at its own price
    const expectations = { balloons_of_swallowed: "cost.device.swallowed < 1000 EUR" };
    const changes = { inputs: { device_price: { by } }, expect: expectations };
    const server = testServer();
    const body = { scenario: "harbour-base", draws: 0 };
    const base = await jsonOf(server.post("/api/questions/costs", body));
    const changed = await jsonOf(server.post("/api/questions/costs", { ...body, changes }));
    const device = (document: typeof base, id: string): number =>
      document.answers.costs.lines.find((line: { line: string }) => line.line === "device").discounted[id];
    // 900 / 1450, the price asked for in the scenario
    expect(device(changed, "swallowed") / device(base, "swallowed")).toBeCloseTo(900 / 1450, 12);
    expect(device(changed, "endoscopic")).toBe(device(base, "endoscopic"));
  });

  test("that are wrong are refused with each mistake under its path in the scenario", async () => {
    const changes = {
      settings: { horizon: "20 yaers" },
      inputs: { device_price: { by: { swallowed: { fixed: "900 kg", why: "an offer" } } }, clinic_prize: { fixed: 1 } },
    };
    const server = testServer();
    for (const route of ["/api/runs", "/api/checks", "/api/questions/worth"]) {
      const answer = await server.post(route, { scenario: "harbour-base", changes });
      expect(answer.status).toBe(422);
      expect(answer.headers.get("content-type")).toBe("application/problem+json");
      const problem = await jsonOf(answer);
      expect(problem).toMatchObject({ type: "urn:steelyard:problem:invalid-input", status: 422 });
      const found = problem.findings.map(({ code, file, path }: Record<string, string>) => [code, file, path]);
      expect(found).toEqual(
        expect.arrayContaining([
          ["unknown-unit", "scenarios/harbour/changes", "settings.horizon"],
          ["unit-mismatch", "scenarios/harbour/changes", expect.stringMatching(/^inputs\.device_price\.by\.swallowed/)],
          ["unknown-reference", "scenarios/harbour/changes", "inputs.clinic_prize"],
        ]),
      );
      expect(Object.keys(problem.findings[0])).toEqual(["code", "file", "line", "column", "path", "message", "hint"]);
    }
  });

  test("of the wrong shape, or that extend something else, are refused", async () => {
    const server = testServer();
    for (const [changes, path] of [
      [{ inputs: { drug: 5 } }, "inputs.drug"],
      [{ inputs: 5 }, "inputs"],
      [{ settings: null }, "settings"],
      [{ extends: "../harbour/base.scenario.yaml" }, "changes.extends"],
      [{ inptus: {} }, "inptus"],
      [{ model: "../../package" }, "model"],
    ] as const) {
      const answer = await server.post("/api/runs", { scenario: hiv, changes });
      expect(answer.status).toBe(422);
      const { findings } = await jsonOf(answer);
      expect(findings.map((found: { path: string }) => found.path)).toContain(path);
    }
  });
});

describe("a bundle", () => {
  const files = {
    "models/published/mine.model.yaml": textOf("models/published/hiv-mono-vs-combo.model.yaml").replace(
      "model: hiv-mono-vs-combo",
      "model: mine",
    ),
    "scenarios/published/mine.scenario.yaml": textOf(`${published}/${hiv}.scenario.yaml`)
      .replace("model: hiv-mono-vs-combo", "model: mine")
      .replace("scenario: hiv-mono-vs-combo", "scenario: mine"),
  };

  test("brings models and scenarios of its own, which may extend those of the case", async () => {
    const server = testServer();
    const base = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0 }));
    const mine = await jsonOf(server.post("/api/runs", { scenario: "mine", files, draws: 0 }));
    expect(mine.answers.worth.strategies).toEqual(base.answers.worth.strategies);
    const variant = `scenario: variant\nmodel: hiv-mono-vs-combo\nextends: ./${hiv}.scenario.yaml\nsettings: { horizon: 10 years }\n`;
    const sent = { "scenarios/published/variant.scenario.yaml": variant };
    const answer = await jsonOf(server.post("/api/runs", { scenario: "variant", files: sent, draws: 0 }));
    expect(answer.answers.compared.horizonYears).toBe(10);
  });

  test("leaves no trace: the next request does not see it", async () => {
    const server = testServer();
    expect((await server.post("/api/checks", { scenario: "mine", files })).status).toBe(200);
    expect((await server.post("/api/checks", { scenario: "mine" })).status).toBe(404);
    expect((await jsonOf(server.get("/api/scenarios"))).scenarios.map((one: { id: string }) => one.id)).not.toContain(
      "mine",
    );
  });

  test.each([
    "../outside.scenario.yaml",
    "/etc/passwd",
    "scenarios/../../x.scenario.yaml",
    "scenarios\\x.scenario.yaml",
    "scenarios/x\u0000.scenario.yaml",
    "scenarios//x.scenario.yaml",
    "C:/x.scenario.yaml",
    "scenarios/x.html",
    "",
  ])("with the path %j is refused", async (path) => {
    const answer = await testServer().post("/api/checks", { scenario: hiv, files: { [path]: "a: 1" } });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({ findings: [{ code: "evidence-invalid", path: "files" }] });
  });

  test("of too many files is refused", async () => {
    const many = Object.fromEntries(Array.from({ length: 101 }, (_, i) => [`models/tables/t${i}.csv`, "a,b\n1,2\n"]));
    const answer = await testServer().post("/api/checks", { scenario: hiv, files: many });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({ findings: [{ code: "out-of-range", path: "files" }] });
  });

  test.each([
    ["../../package.json", "file-missing"],
    ["../../../etc/passwd", "file-outside"],
    ["/etc/passwd", "file-outside"],
    ["../../node_modules/zod/package.json", "file-missing"],
    ["../../models/README.md", "file-missing"],
  ])("cannot read %s", async (path, code) => {
    const text = `scenario: spy\nmodel: hiv-mono-vs-combo\nextends: ${path}\nsettings: { horizon: 1 year }\n`;
    const sent = { "scenarios/published/spy.scenario.yaml": text };
    const answer = await testServer().post("/api/checks", { scenario: "spy", files: sent });
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({ findings: [{ code }] });
  });
});

describe("events of a run", () => {
  const accept = { headers: { accept: "text/event-stream" } };

  test("are its progress, then its result", async () => {
    const server = testServer();
    const answer = await server.post("/api/runs", { scenario: hiv, draws: 300 }, accept);
    expect(answer.status).toBe(200);
    expect(answer.headers.get("content-type")).toBe("text/event-stream");
    const events = eventsOf(await answer.text());
    expect(events[0]).toEqual({ event: "progress", data: { done: 0, total: 300 } });
    expect(events.map(({ event }) => event).filter((event) => event !== "progress")).toEqual(["result"]);
    const whole = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 300 }));
    expect(events.at(-1)).toEqual({ event: "result", data: whole });
  });

  test("end with the problem where the run finds one", async () => {
    // the author's assertion fails, which only a run can tell
    const changes = { expect: { impossible: "drug > 1000000 GBP/year" } };
    const answer = await testServer().post("/api/runs", { scenario: hiv, changes, draws: 0 }, accept);
    const events = eventsOf(await answer.text());
    expect(events.at(-1)).toMatchObject({
      event: "problem",
      data: { status: 422, findings: [{ code: "expectation-failed", path: "expect.impossible" }] },
    });
  });

  test("do not begin where the request is refused", async () => {
    const answer = await testServer().post("/api/runs", { scenario: "none" }, accept);
    expect(answer.status).toBe(404);
    expect(answer.headers.get("content-type")).toBe("application/problem+json");
  });

  test("are of one answer where one question is asked", async () => {
    const answer = await testServer().post("/api/questions/costs", { scenario: hiv, draws: 0 }, accept);
    const last = eventsOf(await answer.text()).at(-1) as { event: string; data: { answers: object } };
    expect(Object.keys(last.data.answers)).toEqual(["costs"]);
  });
});
