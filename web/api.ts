import type { Finding } from "../src/errors.ts";
import type { Register } from "../src/report/register.ts";
import type { ResultDocument } from "../src/report/result.ts";
import type { Design } from "./draw-settings.ts";
import type { Edits } from "./edits.ts";
import { streamEvents } from "./event-stream.ts";

/** A scenario in the list. */
export interface CaseTitle {
  readonly id: string;
  readonly about: string | null;
  /** The scenario it extends; null where it stands by itself. */
  readonly extends: string | null;
}

/** The texts a scenario is made from. */
export interface CaseTexts {
  /** The scenario's own file. */
  readonly path: string;
  /** Texts by path. */
  readonly files: Readonly<Record<string, string>>;
}

/** What a run changes of its scenario. */
export interface Changes {
  readonly inputs?: Edits;
  readonly alternatives?: Edits;
  /** The scenario's own checks, by name. */
  readonly expect?: Readonly<Record<string, string>>;
}

/** What to run. */
export interface RunRequest {
  readonly scenario: string;
  /** Laid over the scenario; evidence of inputs, and weights of formulas' variants. */
  readonly changes?: Changes;
  readonly draws?: number;
  readonly seed?: string;
  readonly design?: Design;
}

/** How far a run is. */
export interface RunProgress {
  readonly done: number;
  readonly total: number;
}

/** The server's refusal: what is wrong, with each mistake at its place. */
export class Problem extends Error {
  readonly findings: readonly Finding[];

  constructor(title: string, findings: readonly Finding[]) {
    super(title);
    this.name = "Problem";
    this.findings = findings;
  }
}

interface ProblemBody {
  readonly title?: string;
  readonly detail?: string;
  readonly findings?: readonly Finding[];
}

const problemOf = (body: ProblemBody): Problem =>
  new Problem(body.detail ?? body.title ?? "The server refused the request", body.findings ?? []);

async function read(response: Response): Promise<unknown> {
  const body: unknown = await response.json().catch(() => ({}));
  if (!response.ok) throw problemOf(body as ProblemBody);
  return body;
}

/** The scenarios the server offers. */
export async function fetchCases(): Promise<readonly CaseTitle[]> {
  const body = (await read(await fetch("/api/scenarios"))) as { readonly scenarios: readonly CaseTitle[] };
  return body.scenarios;
}

/** One scenario with its inputs. */
export async function fetchCase(id: string): Promise<Register> {
  return (await read(await fetch(`/api/scenarios/${encodeURIComponent(id)}`))) as Register;
}

/** The texts that one scenario is made from. */
export async function fetchTexts(id: string): Promise<CaseTexts> {
  return (await read(await fetch(`/api/scenarios/${encodeURIComponent(id)}/texts`))) as CaseTexts;
}

/** Runs a scenario; tells how far it is, and stops when the signal aborts. Throws a `Problem` where it is refused. */
export async function runCase(
  request: RunRequest,
  onProgress: (progress: RunProgress) => void,
  signal: AbortSignal,
): Promise<ResultDocument> {
  const response = await fetch("/api/runs", {
    method: "POST",
    headers: { "content-type": "application/json", accept: "text/event-stream" },
    body: JSON.stringify(request),
    signal,
  });
  const isStream = response.headers.get("content-type")?.startsWith("text/event-stream") ?? false;
  if (!response.ok || !isStream || response.body === null) return (await read(response)) as ResultDocument;
  for await (const { name, data } of streamEvents(response.body)) {
    if (name === "progress") onProgress(JSON.parse(data) as RunProgress);
    if (name === "problem") throw problemOf(JSON.parse(data) as ProblemBody);
    if (name === "result") return JSON.parse(data) as ResultDocument;
  }
  throw new Problem("The run ended without a result", []);
}
