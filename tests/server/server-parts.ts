import { fileURLToPath } from "node:url";
import { afterAll, beforeAll } from "vitest";
import { folderFiles } from "../../src/host/files.ts";
import { pause } from "../../src/host/pause.ts";
import { runPool } from "../../src/host/run-pool.ts";
import { serverApp } from "../../src/server/app.ts";
import { type LogEntry, type ServerParts, usualLimits } from "../../src/server/parts.ts";
import { freshBuild } from "../built.ts";

/** The project's folder, which is a case root. */
export const projectRoot = fileURLToPath(new URL("../../", import.meta.url));

beforeAll(freshBuild);

const pool = runPool(usualLimits.places);
afterAll(() => pool.close());

/** A server in memory over the project's own scenarios, with what it logs. */
export function testServer(given: Partial<ServerParts> = {}) {
  const logged: LogEntry[] = [];
  const parts: ServerParts = {
    files: () => folderFiles(projectRoot),
    page: async () => undefined,
    pool,
    pause,
    now: () => 0,
    log: (entry) => logged.push(entry),
    limits: usualLimits,
    loopback: true,
    ...given,
  };
  const app = serverApp(parts);
  return {
    app,
    pool: parts.pool,
    logged,
    get: async (path: string, init: RequestInit = {}) => app.request(path, init),
    post: async (path: string, body: unknown, init: RequestInit = {}) =>
      app.request(path, {
        method: "POST",
        body: typeof body === "string" ? body : JSON.stringify(body),
        ...init,
        headers: { "content-type": "application/json", ...init.headers },
      }),
  };
}

/** An answer's body as JSON, of which a test looks at parts. */
// biome-ignore lint/suspicious/noExplicitAny: bodies are looked at key by key
export async function jsonOf(response: Response | Promise<Response>): Promise<any> {
  return (await response).json();
}

/** The events of a stream of server-sent events. */
export function eventsOf(text: string): readonly { readonly event: string; readonly data: unknown }[] {
  return text
    .split("\n\n")
    .filter((block) => block !== "")
    .map((block) => ({
      event: /^event: (.*)$/m.exec(block)?.[1] ?? "",
      data: JSON.parse(/^data: (.*)$/m.exec(block)?.[1] ?? "null") as unknown,
    }));
}

/** A small published scenario, quick to run. */
export const hiv = "hiv-mono-vs-combo";
