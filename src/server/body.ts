import type { Context, MiddlewareHandler } from "hono";
import { bodyLimit } from "hono/body-limit";
import { InputError } from "../errors.ts";
import { parseJson } from "../schema/json-body.ts";
import { type RunRequest, readRunRequest, requestFile } from "../schema/run-request.ts";
import { problemResponse, Refusal } from "./problem.ts";

/** Refuses bodies above a number of bytes, by their declared length or, where none is declared, while they arrive. */
export function bodyWithin(bytes: number): MiddlewareHandler {
  const refusal = new Refusal("body-too-large", `send at most ${bytes} bytes`);
  return bodyLimit({ maxSize: bytes, onError: () => problemResponse(refusal) });
}

/** The request to run something that a body holds. Throws the refusals of a body that is none. */
export async function runRequest(c: Context): Promise<RunRequest> {
  if (!/^application\/json\s*(;|$)/i.test(c.req.header("content-type") ?? ""))
    throw new Refusal("not-json", "send content-type: application/json");
  const text = await c.req.text();
  try {
    return readRunRequest(parseJson(text, requestFile));
  } catch (error) {
    if (error instanceof SyntaxError) throw new Refusal("invalid-json", error.message);
    if (!(error instanceof InputError)) throw error;
    const { findings } = error;
    throw new Refusal("invalid-request", findings[0]?.message ?? "", { findings });
  }
}
