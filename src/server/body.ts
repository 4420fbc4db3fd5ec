import type { Context } from "hono";
import { InputError } from "../errors.ts";
import { parseJson } from "../schema/json-body.ts";
import { type RunRequest, readRunRequest, requestFile } from "../schema/run-request.ts";
import { Refusal } from "./problem.ts";

// A client that is refused while it still sends may never read why: so much is let through and dropped first.
const patienceBytes = 32_000_000;

/**
 * The request to run something that a body of at most `bytes` holds. Throws the refusals of a body that is none.
 */
export async function runRequest(c: Context, bytes: number): Promise<RunRequest> {
  const text = await textWithin(c.req.raw, bytes);
  if (!/^application\/json\s*(;|$)/i.test(c.req.header("content-type") ?? ""))
    throw new Refusal("not-json", "send content-type: application/json");
  try {
    return readRunRequest(parseJson(text, requestFile));
  } catch (error) {
    if (error instanceof SyntaxError) throw new Refusal("invalid-json", error.message);
    if (!(error instanceof InputError)) throw error;
    const { findings } = error;
    throw new Refusal("invalid-request", findings[0]?.message ?? "", { findings });
  }
}

/** A body as text, never more than `bytes` of it held. Throws a refusal for a longer one. */
async function textWithin(request: Request, bytes: number): Promise<string> {
  const declared = Number(request.headers.get("content-length") ?? 0);
  const refusal = new Refusal("body-too-large", `send at most ${bytes} bytes`);
  if (declared > patienceBytes) throw refusal;
  const reader = request.body?.getReader();
  const decoder = new TextDecoder();
  let text = "";
  let size = 0;
  for (;;) {
    const { done, value } = (await reader?.read()) ?? { done: true, value: undefined };
    if (done) break;
    size += value.byteLength;
    if (size > patienceBytes) throw refusal;
    text = size > bytes ? "" : text + decoder.decode(value, { stream: true });
  }
  if (size > bytes) throw refusal;
  return text + decoder.decode();
}
