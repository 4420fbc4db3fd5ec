import { type Finding, InputError } from "../errors.ts";

/** All kinds of refusals; the last part of a problem's `type`, with status and title. */
export const problemKinds = {
  "invalid-json": { status: 400, title: "The body is not JSON" },
  "invalid-request": { status: 400, title: "The request is not of the form this route takes" },
  "invalid-path": { status: 400, title: "The path is not one this server answers" },
  "foreign-host": { status: 403, title: "The request was addressed to another host" },
  "foreign-origin": { status: 403, title: "The request comes from another site" },
  unknown: { status: 404, title: "There is nothing here" },
  "method-not-allowed": { status: 405, title: "The route does not take this method" },
  "body-too-large": { status: 413, title: "The body is too large" },
  "not-json": { status: 415, title: "The body is not declared as JSON" },
  "invalid-input": { status: 422, title: "The input holds mistakes" },
  "too-much-work": { status: 422, title: "The run is too much work for this server" },
  "not-answered": { status: 422, title: "This run does not answer the question" },
  busy: { status: 429, title: "Too many runs at once" },
  lost: { status: 503, title: "A thread of the run was lost" },
  bug: { status: 500, title: "A mistake in Steelyard itself" },
} as const satisfies Record<string, { readonly status: number; readonly title: string }>;

/** A kind of refusal. */
export type ProblemKind = keyof typeof problemKinds;

/** Why a request is refused, as the body of the answer. Source: RFC 9457. */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  /** The mistakes in the input, each at its place. */
  readonly findings?: readonly Finding[];
}

/** A refusal on its way to the answer. */
export class Refusal extends Error {
  readonly problem: Problem;
  readonly headers: Readonly<Record<string, string>>;

  constructor(
    kind: ProblemKind,
    detail: string,
    more: { readonly findings?: readonly Finding[]; readonly headers?: Readonly<Record<string, string>> } = {},
  ) {
    super(detail);
    this.name = "Refusal";
    this.problem = problem(kind, detail, more.findings);
    this.headers = more.headers ?? {};
  }
}

/**
 * The body of a refusal.
 * @example problem("busy", "try again").type // "urn:steelyard:problem:busy"
 */
export function problem(kind: ProblemKind, detail: string, findings?: readonly Finding[]): Problem {
  const { status, title } = problemKinds[kind];
  return {
    type: `urn:steelyard:problem:${kind}`,
    title,
    status,
    detail,
    ...(findings === undefined ? {} : { findings }),
  };
}

/** The refusal that something thrown amounts to; what is neither a refusal nor the user's mistake is a bug of ours, of which nothing is told. */
export function refusalOf(error: unknown): Refusal {
  if (error instanceof Refusal) return error;
  if (!(error instanceof InputError)) return new Refusal("bug", "nothing of the request was kept; the log says more");
  const { findings } = error;
  if (findings[0]?.code === "worker-lost") return new Refusal("lost", findings[0].message, { findings });
  const count = findings.length === 1 ? "1 mistake" : `${findings.length} mistakes`;
  return new Refusal("invalid-input", `${count}; the first: ${findings[0]?.message}`, { findings });
}

/** The answer to a refused request. */
export function problemResponse({ problem: body, headers }: Refusal): Response {
  return new Response(JSON.stringify(body), {
    status: body.status,
    headers: { "content-type": "application/problem+json", "cache-control": "no-store", ...headers },
  });
}
