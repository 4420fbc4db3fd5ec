import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { bundleFiles } from "../../src/schema/files.ts";
import { openStudy, runBase } from "../../src/study.ts";
import { hiv, jsonOf, projectRoot, testServer } from "./server-parts.ts";

describe("the list of scenarios", () => {
  test("names each with what it is about and its file", async () => {
    const { scenarios } = await jsonOf(testServer().get("/api/scenarios"));
    expect(scenarios).toContainEqual({
      id: "harbour-base",
      about: expect.stringContaining("Harbour Fund"),
      extends: null,
      path: "scenarios/harbour/base.scenario.yaml",
    });
  });

  test("shows files as they are now", async () => {
    const texts = new Map([["scenarios/a.scenario.yaml", "scenario: a\nmodel: m\n"]]);
    const server = testServer({ files: () => bundleFiles(texts) });
    const ids = async () => (await jsonOf(server.get("/api/scenarios"))).scenarios.map((one: { id: string }) => one.id);
    expect(await ids()).toEqual(["a"]);
    texts.set("scenarios/a.scenario.yaml", "scenario: b\nmodel: m\n");
    texts.set("scenarios/c.scenario.yaml", "not: [closed\n");
    expect(await ids()).toEqual(["b", "scenarios/c.scenario.yaml"]);
    const broken = await server.get(`/api/scenarios/${encodeURIComponent("scenarios/c.scenario.yaml")}`);
    expect(broken.status).toBe(422);
    expect(await jsonOf(broken)).toMatchObject({ findings: [{ code: "yaml-syntax", line: 1 }] });
  });

  test("two files with one id are told apart by nobody: the id is refused", async () => {
    const text = "scenario: a\nmodel: m\n";
    const files = new Map([
      ["scenarios/a.scenario.yaml", text],
      ["scenarios/b.scenario.yaml", text],
    ]);
    const answer = await testServer({ files: () => bundleFiles(files) }).get("/api/scenarios/a");
    expect(answer.status).toBe(422);
    expect(await jsonOf(answer)).toMatchObject({
      findings: [{ code: "duplicate-name", file: "scenarios/b.scenario.yaml" }],
    });
  });
});

describe("a scenario's register", () => {
  test("holds each input with its declaration, evidence, base values and origin", async () => {
    const register = await jsonOf(testServer().get("/api/scenarios/harbour-base"));
    expect(register).toMatchObject({
      id: "harbour-base",
      path: "scenarios/harbour/base.scenario.yaml",
      model: { id: "balloon-pathways", file: "models/balloon-pathways.model.yaml" },
      currency: "EUR",
    });
    const lines = readFileSync(join(projectRoot, register.path), "utf8").split("\n");
    const input = register.inputs.find((one: { name: string }) => one.name === "device_price");
    expect(input).toMatchObject({
      label: expect.any(String),
      kind: "cost",
      byStrategy: true,
      cells: null,
      choices: null,
      declaration: { is: "cost", by: "strategy" },
      evidence: { by: { swallowed: { fixed: "1450 EUR" } } },
    });
    expect(lines[input.origin.line - 1]).toMatch(/^ {2}device_price:/);
    const swallowed = input.components.find((one: { strategy: string }) => one.strategy === "swallowed");
    expect(swallowed).toMatchObject({ base: 1450, form: "fixed", source: "invented", invented: true, cell: null });
    expect(swallowed.origin).toMatchObject({ file: register.path, path: "inputs.device_price.by.swallowed" });
    expect(lines[swallowed.origin.line - 1]).toContain("1450 EUR");
    for (const one of register.inputs) {
      expect(one.evidence).not.toBeNull();
      for (const component of one.components) {
        expect(Number.isFinite(component.base)).toBe(true);
        expect(component.origin).toMatchObject({ file: register.path, line: expect.any(Number) });
      }
    }
  });

  test("holds strategies, groups, tables, settings and the schema of an entry of evidence", async () => {
    const register = await jsonOf(testServer().get("/api/scenarios/harbour-base"));
    expect(register.strategies.map(({ id, compared, reference }: never) => [id, compared, reference])).toEqual([
      ["programme", true, true],
      ["swallowed", true, false],
      ["endoscopic", true, false],
      ["medicine", true, false],
      ["sleeve", false, false],
    ]);
    const shares = register.groups.map((group: { share: number }) => group.share);
    expect(shares.reduce((sum: number, share: number) => sum + share, 0)).toBeCloseTo(1, 12);
    expect(register.groups[0].attributes).toMatchObject({ sex: expect.any(String), start_bmi: expect.any(Number) });
    expect(register.tables.map((table: { name: string }) => table.name)).toContain("background_death");
    expect(register.effective.settings.horizon).toBe("20 years");
    expect(Object.keys(register.schema.properties)).toContain("observed");
  });

  test("tells which file of a chain of extensions a value comes from", async () => {
    const register = await jsonOf(testServer().get("/api/scenarios/hiv-mono-vs-combo-rounded"));
    const fileOf = (name: string): string =>
      register.inputs.find((one: { name: string }) => one.name === name).components[0].origin.file;
    expect(fileOf("from_a")).toBe("scenarios/published/hiv-mono-vs-combo-rounded.scenario.yaml");
    expect(fileOf("drug")).toBe(`scenarios/published/${hiv}.scenario.yaml`);
    expect(register.effective.inputs.drug).toBeDefined();
  });

  test("its evidence, sent back as changes, changes nothing", async () => {
    const server = testServer();
    const register = await jsonOf(server.get(`/api/scenarios/${hiv}`));
    const inputs = Object.fromEntries(register.inputs.map((one: never) => [one["name"], one["evidence"]]));
    const base = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0 }));
    const same = await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 0, changes: { inputs } }));
    expect(same.answers).toEqual(base.answers);
  });

  test("is as quick as the files allow: an unchanged case is opened once", async () => {
    let reads = 0;
    const texts = new Map(
      ["models/published/hiv-mono-vs-combo.model.yaml", `scenarios/published/${hiv}.scenario.yaml`].map((path) => [
        path,
        readFileSync(join(projectRoot, path), "utf8"),
      ]),
    );
    const server = testServer({
      files: () => {
        const files = bundleFiles(texts);
        return {
          ...files,
          read: (path) => {
            reads += 1;
            return files.read(path);
          },
        };
      },
    });
    const first = await jsonOf(server.get(`/api/scenarios/${hiv}`));
    expect(await jsonOf(server.get(`/api/scenarios/${hiv}`))).toEqual(first);
    expect(reads).toBeLessThan(20);
    const path = `scenarios/published/${hiv}.scenario.yaml`;
    texts.set(path, texts.get(path)!.replace("horizon: 20 years", "horizon: 10 years"));
    const later = await jsonOf(server.get(`/api/scenarios/${hiv}`));
    expect(later.effective.settings.horizon).toBe("10 years");
  });
});

describe("the schemas of files", () => {
  test.each(["model", "scenario"])("%s is a JSON Schema", async (kind) => {
    const answer = await testServer().get(`/api/schemas/${kind}`);
    expect(await jsonOf(answer)).toMatchObject({
      $schema: expect.stringContaining("2020-12"),
      type: "object",
      additionalProperties: false,
    });
  });
});

describe("a scenario's texts", () => {
  test("are those it is made from, and no others, and open to the same study", async () => {
    const { path, files } = await jsonOf(testServer().get("/api/scenarios/harbour-base/texts"));
    expect(path).toBe("scenarios/harbour/base.scenario.yaml");
    expect(Object.keys(files).sort()).toEqual([
      "models/balloon-pathways.model.yaml",
      "models/tables/general-bmi.csv",
      "models/tables/general-disease.csv",
      "models/tables/us-2014.csv",
      "scenarios/harbour/base.scenario.yaml",
    ]);
    for (const [file, text] of Object.entries(files)) expect(text).toBe(readFileSync(join(projectRoot, file), "utf8"));
    const own = runBase(openStudy(bundleFiles(new Map(Object.entries(files as Record<string, string>))), path));
    const given = await jsonOf(testServer().post("/api/runs", { scenario: "harbour-base", draws: 0 }));
    expect(JSON.parse(JSON.stringify(own))).toEqual(given);
  });

  test("of a variant hold what it extends", async () => {
    const { path, files } = await jsonOf(testServer().get("/api/scenarios/hiv-mono-vs-combo-effects-discounted/texts"));
    expect(Object.keys(files)).toContain(path);
    expect(Object.keys(files)).toContain("scenarios/published/hiv-mono-vs-combo.scenario.yaml");
  });

  test("of what is no scenario are refused", async () => {
    for (const id of ["none", "..%2F..%2Fpackage", "%2Fetc%2Fpasswd"])
      expect((await testServer().get(`/api/scenarios/${id}/texts`)).status).toBe(404);
  });
});
