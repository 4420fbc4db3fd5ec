import { execFile, execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Listening, listen } from "../../src/server/listen.ts";
import { hiv, projectRoot } from "./server-parts.ts";

// A generator of load on this machine's own loopback: 200 connections for a few seconds, never elsewhere, never longer.

const run = promisify(execFile);
const hasWrk = (() => {
  try {
    execFileSync("which", ["wrk"], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
})();
if (!hasWrk) process.stdout.write("load tests are skipped: the load generator wrk is not installed\n");

const connections = 200;
const seconds = 3;

/** A script that sends one request and counts answers by status. */
const script = (method: string, body: string): string => `
wrk.method = "${method}"
wrk.body = ${body === "" ? "nil" : JSON.stringify(body)}
wrk.headers["Content-Type"] = "application/json"
local threads = {}
function setup(thread) table.insert(threads, thread) end
function init() statuses = {} end
function response(status) statuses[status] = (statuses[status] or 0) + 1 end
function done(summary)
  local all = {}
  for _, thread in ipairs(threads) do
    for status, count in pairs(thread:get("statuses")) do all[status] = (all[status] or 0) + count end
  end
  local parts = {}
  for status, count in pairs(all) do table.insert(parts, string.format('"%d":%d', status, count)) end
  local e = summary.errors
  io.write(string.format('{"statuses":{%s},"connect":%d,"read":%d,"write":%d,"timeout":%d}\\n',
    table.concat(parts, ","), e.connect, e.read, e.write, e.timeout))
end
`;

interface Load {
  readonly statuses: Readonly<Record<string, number>>;
  readonly connect: number;
  readonly read: number;
  readonly write: number;
  readonly timeout: number;
}

describe.skipIf(!hasWrk)("under 200 connections at once", () => {
  const stop = new AbortController();
  let server: Listening;
  let folder: string;
  let logged = 0;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "steelyard-load-"));
    const log = (): void => {
      logged += 1;
    };
    server = await listen({ root: projectRoot, port: 0, host: "127.0.0.1", stop: stop.signal, log });
  });

  afterAll(async () => {
    stop.abort();
    await server.closed;
    rmSync(folder, { recursive: true });
  });

  async function load(path: string, method = "GET", body = ""): Promise<Load> {
    const file = join(folder, "load.lua");
    writeFileSync(file, script(method, body));
    const options = [
      "-t2",
      `-c${connections}`,
      `-d${seconds}s`,
      "--timeout",
      "30s",
      "-s",
      file,
      `${server.url}${path}`,
    ];
    const { stdout } = await run("wrk", options, { timeout: 60_000 });
    return JSON.parse(stdout.slice(stdout.lastIndexOf('{"statuses"'))) as Load;
  }

  test.each([
    ["a light request is always served", "api/health", "GET", "", ["200"]],
    ["the list of scenarios is always served", "api/scenarios", "GET", "", ["200"]],
    ["a scenario is always served", `api/scenarios/${hiv}`, "GET", "", ["200"]],
    [
      "runs are served or told to come back",
      "api/runs",
      "POST",
      JSON.stringify({ scenario: hiv, draws: 100 }),
      ["200", "429"],
    ],
    [
      "wrong requests are refused",
      "api/runs",
      "POST",
      JSON.stringify({ scenario: hiv, changes: { inputs: { drug: { fixed: "1 kg" } } } }),
      ["422", "429"],
    ],
    ["bodies that are no JSON are refused", "api/runs", "POST", "{", ["400"]],
  ] as const)("%s", async (_, path, method, body, statuses) => {
    const before = process.memoryUsage().rss;
    const { statuses: found, connect, read, write, timeout } = await load(path, method, body);
    expect({ connect, read, write, timeout }).toEqual({ connect: 0, read: 0, write: 0, timeout: 0 });
    expect(statuses).toEqual(expect.arrayContaining(Object.keys(found)));
    expect(found[statuses[0]]).toBeGreaterThan(0);
    // measured: below 120 MB
    expect(process.memoryUsage().rss - before).toBeLessThan(400_000_000);
    const after = await fetch(`${server.url}api/health`);
    expect(after.status).toBe(200);
    expect(logged).toBeGreaterThan(0);
    process.stdout.write(
      `${method} ${path}: ${JSON.stringify(found)} in ${seconds} s, ${Math.round((process.memoryUsage().rss - before) / 1e6)} MB more\n`,
    );
  });
});
