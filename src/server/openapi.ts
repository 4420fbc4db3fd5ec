import { questions } from "../report/result.ts";
import { componentSchemas } from "../schema/editor-schema.ts";
import { version } from "../version.ts";
import { type ProblemKind, problemKinds } from "./problem.ts";

/** A JSON value of the document. */
type Json = Readonly<Record<string, unknown>>;

const reference = (name: string): Json => ({ $ref: `#/components/schemas/${name}` });
const content = (type: string, schema: Json): Json => ({ content: { [type]: { schema } } });
const json = (schema: Json): Json => content("application/json", schema);
const parameter = (name: string, description: string, values?: readonly string[]): Json => ({
  name,
  in: "path",
  required: true,
  description,
  schema: { type: "string", ...(values === undefined ? {} : { enum: values }) },
});

/** Answers with a problem, by status: several kinds may share one. */
function refusals(...kinds: readonly ProblemKind[]): Json {
  const statuses = [...new Set(kinds.map((kind) => problemKinds[kind].status))];
  const entry = (status: number): Json => ({
    description: kinds
      .filter((kind) => problemKinds[kind].status === status)
      .map((kind) => problemKinds[kind].title)
      .join("; "),
    ...(status === 429 ? { headers: { "Retry-After": { schema: { type: "integer" }, description: "seconds" } } } : {}),
    ...content("application/problem+json", reference("Problem")),
  });
  return Object.fromEntries(statuses.map((status) => [String(status), entry(status)]));
}

const ofEvery = ["invalid-path", "foreign-host", "method-not-allowed", "bug"] as const;
const ofBodies = ["invalid-json", "invalid-request", "foreign-origin", "body-too-large", "not-json"] as const;
const ofWork = ["unknown", "invalid-input", "busy", "lost"] as const;

function get(summary: string, schema: Json, kinds: readonly ProblemKind[], parameters: readonly Json[] = []): Json {
  return {
    get: {
      summary,
      parameters,
      responses: { 200: { description: summary, ...json(schema) }, ...refusals(...kinds, ...ofEvery) },
    },
  };
}

function post(summary: string, answer: Json, kinds: readonly ProblemKind[], parameters: readonly Json[] = []): Json {
  const responses = { 200: answer, ...refusals(...ofBodies, ...ofWork, ...kinds, ...ofEvery) };
  return {
    post: { summary, parameters, requestBody: { required: true, ...json(reference("RunRequest")) }, responses },
  };
}

/** An answer as JSON or, where asked for, as events. */
function runAnswer(description: string, schema: Json): Json {
  const events = {
    type: "string",
    description:
      "server-sent events: progress with { done, total }, then result with the JSON answer or problem with a Problem",
  };
  return { description, content: { "application/json": { schema }, "text/event-stream": { schema: events } } };
}

/** The description of the server's routes, made from the schemas of what it reads. Source: OpenAPI 3.1.1. */
export function openApiDocument(): Json {
  const ids = questions.map(({ id }) => id);
  return {
    openapi: "3.1.1",
    info: {
      title: "Steelyard",
      version,
      description: "Answers a payer's questions from scenario files. A model, not medical advice.",
    },
    servers: [{ url: "/" }],
    paths: {
      "/api/health": get("That the server answers", reference("Health"), []),
      "/api/scenarios": get("The scenarios of the case", reference("ScenarioList"), []),
      "/api/scenarios/{id}": get(
        "A scenario's inputs with their evidence and origin",
        reference("ScenarioRegister"),
        ["unknown", "invalid-input"],
        [parameter("id", "id of a scenario")],
      ),
      "/api/scenarios/{id}/texts": get(
        "The texts a scenario is made from: its own, those of what it extends, its model and its tables",
        reference("CaseTexts"),
        ["unknown", "invalid-input"],
        [parameter("id", "id of a scenario")],
      ),
      "/api/runs": post("Answers all questions", runAnswer("The result document", reference("ResultDocument")), [
        "too-much-work",
      ]),
      "/api/questions/{question}": post(
        "Answers one question",
        runAnswer("The document's head and one answer", reference("ResultDocument")),
        ["too-much-work", "not-answered"],
        [parameter("question", "id of a question", ids)],
      ),
      "/api/checks": post(
        "Checks a scenario and its model",
        { description: "What it holds", ...json(reference("StructureSummary")) },
        [],
      ),
      "/api/schemas/{kind}": get(
        "The JSON Schema of a kind of file",
        { type: "object" },
        ["unknown"],
        [parameter("kind", "kind of file", ["model", "scenario"])],
      ),
      "/api/openapi.json": get("This document", { type: "object" }, []),
    },
    components: { schemas: { ...componentSchemas(), ...answerSchemas(ids) } },
  };
}

const text: Json = { type: "string" };
const whole: Json = { type: "integer" };
const list = (items: Json): Json => ({ type: "array", items });
const record = (properties: Json, optional: readonly string[] = []): Json => ({
  type: "object",
  required: Object.keys(properties).filter((name) => !optional.includes(name)),
  properties,
});

/** What the server answers with, to the depth that is promised. */
function answerSchemas(ids: readonly string[]): Json {
  const textOrNull: Json = { type: ["string", "null"] };
  const place = { file: text, line: whole, column: whole, path: text };
  const answer: Json = record({ headline: text });
  return {
    Place: record(place),
    Finding: record({ code: text, ...place, message: text, hint: text }),
    Problem: record({ type: text, title: text, status: whole, detail: text, findings: list(reference("Finding")) }, [
      "findings",
    ]),
    Health: record({ status: text, version: text }),
    ScenarioList: record({
      scenarios: list(record({ id: text, about: textOrNull, extends: textOrNull, path: text })),
    }),
    ScenarioRegister: record({
      id: text,
      about: textOrNull,
      path: text,
      model: record({ id: text, about: textOrNull, file: text }),
      currency: text,
      jurisdiction: { type: ["object", "null"] },
      strategies: list({ type: "object" }),
      groups: list({ type: "object" }),
      inputs: list(
        record({
          name: text,
          label: text,
          kind: text,
          unit: text,
          evidence: { type: ["object", "null"] },
          origin: reference("Place"),
          components: list({ type: "object" }),
        }),
      ),
      fits: list({ type: "object" }),
      tables: list({ type: "object" }),
      effective: reference("Scenario"),
      schema: { type: "object" },
    }),
    CaseTexts: record({ path: text, files: { type: "object", additionalProperties: text } }),
    StructureSummary: record({
      scenario: text,
      model: text,
      strategies: list(text),
      groups: whole,
      inputs: whole,
      states: whole,
      cycles: whole,
      unused: list(text),
      warnings: list(record({ key: text, text })),
      structure: text,
    }),
    ResultDocument: record(
      {
        meta: record({
          scenario: text,
          about: textOrNull,
          model: text,
          version: text,
          seed: textOrNull,
          draws: whole,
          design: textOrNull,
          hash: text,
          generated: textOrNull,
          invented: { type: "boolean" },
          cautions: list(text),
          warnings: list(record({ key: text, text })),
        }),
        answers: { type: "object", properties: Object.fromEntries(ids.map((id) => [id, answer])) },
        trace: { type: "object" },
      },
      ["trace"],
    ),
  };
}
