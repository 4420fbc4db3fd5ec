import type { Context } from "hono";
import { type SSEStreamingApi, streamSSE } from "hono/streaming";
import type { ResultDocument } from "../report/result.ts";
import type { Progress } from "../study.ts";
import { runRequest } from "./body.ts";
import type { ServerParts } from "./parts.ts";
import { refusalOf } from "./problem.ts";
import { Cancelled, type RunDesk } from "./run-desk.ts";

/**
 * Runs what a request asks for and answers with what `pick` takes from the result: as JSON or, where the request accepts
 * `text/event-stream`, as events `progress`, then `result` or `problem`. Refusals before the run begins are ordinary
 * answers in both cases. The run ends when whoever asked goes away.
 */
export async function answered(
  c: Context,
  desk: RunDesk,
  parts: ServerParts,
  pick: (document: ResultDocument) => unknown,
): Promise<Response> {
  const { signal } = c.req.raw;
  const request = await runRequest(c, parts.limits.bodyBytes);
  const leave = await desk.place(signal);
  let isStream = false;
  try {
    const study = desk.study(request);
    const options = desk.options(request, study);
    isStream = /\btext\/event-stream\b/i.test(c.req.header("accept") ?? "");
    if (!isStream) return c.json(pick(await desk.result(study, options, signal)) as object);
    return streamSSE(c, (stream) => {
      const run: Run = (waiting, onProgress) =>
        desk.result(study, options, AbortSignal.any([signal, waiting]), onProgress).finally(leave);
      return events(stream, run, parts, pick);
    });
  } finally {
    if (!isStream) leave();
  }
}

type Run = (waiting: AbortSignal, onProgress: (progress: Progress) => void) => Promise<ResultDocument>;

async function events(
  stream: SSEStreamingApi,
  run: Run,
  { log }: ServerParts,
  pick: (document: ResultDocument) => unknown,
): Promise<void> {
  const gone = new AbortController();
  stream.onAbort(() => gone.abort());
  // a reader who is slow misses steps; the run does not wait for it
  let isIdle = true;
  const onProgress = (progress: Progress): void => {
    if (!isIdle) return;
    isIdle = false;
    void stream.writeSSE({ event: "progress", data: JSON.stringify(progress) }).then(() => {
      isIdle = true;
    });
  };
  try {
    const document = await run(gone.signal, onProgress);
    await stream.writeSSE({ event: "result", data: JSON.stringify(pick(document)) });
  } catch (error) {
    if (error instanceof Cancelled) return;
    const { problem } = refusalOf(error);
    if (problem.status === 500) log({ event: "bug", error: stackOf(error) });
    await stream.writeSSE({ event: "problem", data: JSON.stringify(problem) });
  }
}

/** What a log says of an error. */
export function stackOf(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
