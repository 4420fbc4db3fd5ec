import { createServer } from "node:http";
import { type AddressInfo, connect } from "node:net";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Listening, listen } from "../../src/server/listen.ts";
import { ListenError } from "../../src/server/listen-error.ts";
import { hiv, projectRoot } from "./server-parts.ts";

const stop = new AbortController();
const lines: string[] = [];
let server: Listening;

const settings = { root: projectRoot, port: 0, host: "127.0.0.1", log: (line: string) => lines.push(line) };

beforeAll(async () => {
  server = await listen({ ...settings, stop: stop.signal });
});

afterAll(async () => {
  stop.abort();
  await server.closed;
});

const post = (path: string, body: unknown, headers: Record<string, string> = {}, signal?: AbortSignal) =>
  fetch(`${server.url}${path}`, {
    method: "POST",
    headers: { "content-type": "application/json", ...headers },
    body: JSON.stringify(body),
    ...(signal === undefined ? {} : { signal }),
  });

/** Sends bytes as they are and gives back what comes until the server closes. */
function sent(...pieces: readonly string[]): Promise<string> {
  return new Promise((resolve, reject) => {
    let text = "";
    const socket = connect(Number(new URL(server.url).port), "127.0.0.1", () => {
      for (const piece of pieces) socket.write(piece);
    });
    socket.on("data", (data) => {
      text += data;
    });
    socket.on("close", () => resolve(text));
    // the server may close while the rest is still on its way
    socket.on("error", (error) => (text === "" ? reject(error) : undefined));
  });
}

describe("a server on a port", () => {
  test("listens on a free port of this machine and serves", async () => {
    expect(server.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    const answer = await fetch(`${server.url}api/health`);
    expect(answer.status).toBe(200);
    expect(answer.headers.get("cross-origin-opener-policy")).toBe("same-origin");
  });

  test("logs one JSON object a line", async () => {
    await fetch(`${server.url}api/nothing?with=query`);
    const entries = lines.map((line) => JSON.parse(line));
    expect(lines.every((line) => !line.includes("\n"))).toBe(true);
    expect(entries[0]).toMatchObject({ event: "listening", url: server.url, time: expect.stringMatching(/^\d{4}-/) });
    expect(entries.at(-1)).toMatchObject({ event: "request", method: "GET", path: "/api/nothing", status: 404 });
  });

  test("sends events while a run goes on", async () => {
    const answer = await post("api/runs", { scenario: hiv, draws: 2000 }, { accept: "text/event-stream" });
    const text = await answer.text();
    expect(text.match(/event: progress/g)!.length).toBeGreaterThan(1);
    expect(text).toMatch(/event: result\ndata: \{"meta".*\}\n\n$/);
  });

  test("answers others while a run goes on", async () => {
    const run = post("api/runs", { scenario: hiv, draws: 20_000 });
    let others = 0;
    let isDone = false;
    void run.then(() => {
      isDone = true;
    });
    while (!isDone) {
      await (await fetch(`${server.url}api/health`)).text();
      if (!isDone) others += 1;
    }
    expect((await run).status).toBe(200);
    expect(others).toBeGreaterThan(3);
  });

  test("ends a run whose asker hangs up, with or without events", async () => {
    for (const headers of [{}, { accept: "text/event-stream" }] as Record<string, string>[]) {
      // more than there are places, one after the other: each must give its place back
      for (let i = 0; i < 5; i++) {
        const leave = new AbortController();
        const asked = post("api/runs", { scenario: hiv, draws: 1_000_000 }, headers, leave.signal).then(
          (answer) => answer.text(),
          () => "",
        );
        await new Promise((resolve) => setTimeout(resolve, 100));
        leave.abort();
        await asked.catch(() => "");
      }
      await new Promise((resolve) => setTimeout(resolve, 200));
      expect((await post("api/checks", { scenario: hiv })).status).toBe(200);
    }
  });

  test("refuses 10 MB by declared length and in chunks, and goes on", async () => {
    const head = `POST /api/runs HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nConnection: close\r\n`;
    const piece = " ".repeat(100_000);
    const declared = await sent(`${head}Content-Length: 10000000\r\n\r\n`, ...Array(100).fill(piece));
    expect(declared).toMatch(/^HTTP\/1\.1 413 /);
    const chunk = `${piece.length.toString(16)}\r\n${piece}\r\n`;
    const chunked = await sent(`${head}Transfer-Encoding: chunked\r\n\r\n`, ...Array(100).fill(chunk), "0\r\n\r\n");
    expect(chunked).toMatch(/^HTTP\/1\.1 413 /);
    expect((await fetch(`${server.url}api/health`)).status).toBe(200);
  });

  test("reads a body that comes in chunks", async () => {
    const body = JSON.stringify({ scenario: hiv });
    const head = "POST /api/checks HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n";
    const half = body.length >> 1;
    const chunk = (text: string): string => `${text.length.toString(16)}\r\n${text}\r\n`;
    const answer = await sent(
      `${head}Connection: close\r\nTransfer-Encoding: chunked\r\n\r\n`,
      chunk(body.slice(0, half)),
      chunk(body.slice(half)),
      "0\r\n\r\n",
    );
    expect(answer).toMatch(/^HTTP\/1\.1 200 [\s\S]*"states":3/);
  });

  test.each([
    ["GET /../../package.json HTTP/1.1", 404],
    ["GET /..%2f..%2fpackage.json HTTP/1.1", 400],
    ["GET /..\\..\\package.json HTTP/1.1", 400],
    ["GET /%2e%2e/%2e%2e/package.json HTTP/1.1", 404],
    ["GET /assets/..%00 HTTP/1.1", 400],
    ["GET http://evil.example/api/health HTTP/1.1", 403],
    ["FLY / HTTP/1.1", 400],
    ["GET / HTTP/9.9", 400],
    ["no words of HTTP", 400],
  ])("%s is refused with %i", async (line, status) => {
    const answer = await sent(`${line}\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n`);
    expect(answer).toMatch(new RegExp(`^HTTP/1\\.1 ${status} `));
    expect(answer).not.toContain('"dependencies"');
  });

  test.each(["evil.example", "evil.example:80", "a b", "", "[", "localhost, evil.example"])(
    "a host of %j is refused",
    async (host) => {
      const answer = await sent(`GET /api/health HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
      expect(answer).toMatch(/^HTTP\/1\.1 (400|403) /);
      expect(answer.toLowerCase()).toContain("x-content-type-options: nosniff");
    },
  );

  test("says so when the port is taken or the address is not its own", async () => {
    const other = createServer().listen(0, "127.0.0.1");
    await new Promise((resolve) => other.once("listening", resolve));
    const { port } = other.address() as AddressInfo;
    const taken = listen({ ...settings, port, stop: new AbortController().signal });
    await expect(taken).rejects.toThrow(ListenError);
    await expect(taken).rejects.toThrow(`port ${port} of 127.0.0.1 is taken`);
    other.close();
    const away = listen({ ...settings, host: "192.0.2.1", stop: new AbortController().signal });
    await expect(away).rejects.toThrow("192.0.2.1 is no address of this machine");
  });

  test("stops when told to, though somebody keeps a connection and a run open", async () => {
    const end = new AbortController();
    const own: string[] = [];
    const { url, closed } = await listen({ ...settings, log: (line) => own.push(line), stop: end.signal });
    await (await fetch(`${url}api/health`)).text();
    const run = fetch(`${url}api/runs`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ scenario: hiv, draws: 1_000_000 }),
    }).catch(() => undefined);
    await new Promise((resolve) => setTimeout(resolve, 100));
    const start = performance.now();
    end.abort();
    await closed;
    expect(performance.now() - start).toBeLessThan(10_000);
    await run;
    expect(JSON.parse(own.at(-1)!)).toMatchObject({ event: "stopped" });
    await expect(fetch(url)).rejects.toThrow();
  });
});
