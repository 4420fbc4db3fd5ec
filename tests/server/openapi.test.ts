import { describe, expect, test } from "vitest";
import { problemKinds } from "../../src/server/problem.ts";
import { hiv, jsonOf, testServer } from "./server-parts.ts";

// biome-ignore lint/suspicious/noExplicitAny: a document that is looked at key by key
const documentOf = async (): Promise<any> => jsonOf(testServer().get("/api/openapi.json"));

describe("the OpenAPI document", () => {
  test("describes the routes there are, and no others", async () => {
    const { paths } = await documentOf();
    const described = Object.entries(paths as Record<string, object>).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => `${method.toUpperCase()} ${path}`),
    );
    const routes = testServer()
      .app.routes.filter(({ method, path }) => method !== "ALL" && path.startsWith("/api/"))
      .map(({ method, path }) => `${method} ${path.replace(/:(\w+)/g, "{$1}")}`);
    expect(described.sort()).toEqual([...new Set(routes)].sort());
  });

  test("refers only to what it holds", async () => {
    const document = await documentOf();
    const references = [...JSON.stringify(document).matchAll(/"\$ref":"([^"]+)"/g)].map((match) => match[1]!);
    expect(references.length).toBeGreaterThan(20);
    for (const reference of new Set(references)) {
      const found = reference
        .replace(/^#\//, "")
        .split("/")
        .reduce((value, key) => value?.[key], document);
      expect(found, reference).toBeDefined();
    }
    expect(JSON.stringify(document)).not.toContain("$defs");
  });

  test("names the parameters of each path", async () => {
    const { paths } = await documentOf();
    for (const [path, methods] of Object.entries(paths as Record<string, Record<string, never>>)) {
      for (const { parameters } of Object.values(methods) as { parameters: { name: string; in: string }[] }[])
        expect(parameters.map(({ name }) => name)).toEqual([...path.matchAll(/\{(\w+)\}/g)].map((match) => match[1]));
    }
  });

  test("lists the question ids that the server takes", async () => {
    const { paths } = await documentOf();
    const ids = paths["/api/questions/{question}"].post.parameters[0].schema.enum;
    for (const id of ids) {
      const answer = await testServer().post(`/api/questions/${id}`, { scenario: hiv, draws: 40 });
      expect(answer.status).toBe(200);
    }
  });

  test("tells every status that a request can be refused with", async () => {
    const { paths } = await documentOf();
    const told = new Set(
      Object.values(paths as Record<string, Record<string, { responses: object }>>).flatMap((methods) =>
        Object.values(methods).flatMap(({ responses }) => Object.keys(responses)),
      ),
    );
    for (const { status } of Object.values(problemKinds)) expect(told).toContain(String(status));
  });

  test("names the keys of what the server answers", async () => {
    const { components } = await documentOf();
    const server = testServer();
    const answers = {
      Health: await jsonOf(server.get("/api/health")),
      ScenarioRegister: await jsonOf(server.get(`/api/scenarios/${hiv}`)),
      StructureSummary: await jsonOf(server.post("/api/checks", { scenario: hiv })),
      ResultDocument: await jsonOf(server.post("/api/runs", { scenario: hiv, draws: 40, trace: true })),
      Problem: await jsonOf(server.post("/api/runs", { scenario: "none" })),
    };
    for (const [name, answer] of Object.entries(answers))
      expect(Object.keys(components.schemas[name].properties).sort(), name).toEqual(Object.keys(answer).sort());
    const { properties } = components.schemas.ResultDocument;
    expect(Object.keys(properties.meta.properties).sort()).toEqual(Object.keys(answers.ResultDocument.meta).sort());
    expect(Object.keys(properties.answers.properties)).toEqual(Object.keys(answers.ResultDocument.answers));
  });

  test("asks for what the server asks for", async () => {
    const { components } = await documentOf();
    const { RunRequest, Changes } = components.schemas;
    expect(RunRequest).toMatchObject({ required: ["scenario"], additionalProperties: false });
    expect(Object.keys(RunRequest.properties)).toEqual([
      "scenario",
      "changes",
      "files",
      "draws",
      "seed",
      "design",
      "trace",
    ]);
    expect(Changes.required).toBeUndefined();
    expect(Object.keys(Changes.properties)).not.toContain("extends");
  });
});
