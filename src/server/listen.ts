import { once } from "node:events";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { getRequestListener } from "@hono/node-server";
import { folderFiles } from "../host/files.ts";
import { pageFiles } from "../host/page-files.ts";
import { pause } from "../host/pause.ts";
import { runPool } from "../host/run-pool.ts";
import { threadsHere } from "../host/usual-threads.ts";
import type { ResultDocument } from "../report/result.ts";
import { serverApp } from "./app.ts";
import { caseShelf } from "./case-shelf.ts";
import { ListenError } from "./listen-error.ts";
import { type LogEntry, type ServerParts, usualLimits } from "./parts.ts";
import { problemResponse, Refusal } from "./problem.ts";
import { runDesk } from "./run-desk.ts";
import { isLoopback, secured } from "./security.ts";

/** Where to listen and what to serve. */
export interface ListenOptions {
  /** Case root. Throws root-missing where it is none. */
  readonly root: string;
  /** 0 takes a free one. */
  readonly port: number;
  readonly host: string;
  /** Ends the server: no new connections, and those open have a moment to finish. */
  readonly stop: AbortSignal;
  /** Takes one line of the log, a JSON object without the line's end. */
  log(line: string): void;
}

/** A server that listens. */
export interface Listening {
  readonly url: string;
  /** Answers a scenario from its base values at once, before anybody asks; who does finds it. Throws its mistakes. */
  answer(scenario: string): ResultDocument;
  /** Comes back once the server has ended. */
  readonly closed: Promise<void>;
}

const page = fileURLToPath(new URL("../../dist/web/", import.meta.url));
const graceMilliseconds = 2_000;
const slowMilliseconds = { headersTimeout: 10_000, requestTimeout: 30_000, keepAliveTimeout: 5_000 };

/** Listens until told to stop. Throws `ListenError`, and root-missing for a folder that is no case root. */
export async function listen(options: ListenOptions): Promise<Listening> {
  const { root, port, host, stop } = options;
  const log = (entry: LogEntry): void => options.log(JSON.stringify({ time: new Date().toISOString(), ...entry }));
  folderFiles(root);
  // a thread for each place, so that no run waits for another's end
  const pool = runPool(Math.max(usualLimits.places, threadsHere()));
  const parts: ServerParts = {
    files: () => folderFiles(root),
    page: pageFiles(page),
    pool,
    pause,
    now: Date.now,
    log,
    limits: usualLimits,
    loopback: isLoopback(host),
  };
  const shelf = caseShelf();
  const desk = runDesk(parts, shelf);
  const app = serverApp(parts, shelf, desk);
  const listener = getRequestListener(app.fetch, {
    hostname: host,
    overrideGlobalObjects: false,
    // what is thrown here did not become a request that routes could see
    errorHandler: () => secured(problemResponse(new Refusal("invalid-path", "the request has no valid address"))),
  });
  const server = createServer({ ...slowMilliseconds, maxHeaderSize: 16_384 }, (incoming, outgoing) => {
    void listener(incoming, outgoing);
  });
  await listening(server, port, host);
  const address = server.address() as AddressInfo;
  const closed = once(server, "close").then(async () => {
    await pool.close();
    log({ event: "stopped" });
  });
  const end = (): void => {
    server.close();
    server.closeIdleConnections();
    const forced = setTimeout(() => server.closeAllConnections(), graceMilliseconds);
    server.once("close", () => clearTimeout(forced));
  };
  if (stop.aborted) end();
  else stop.addEventListener("abort", end, { once: true });
  const url = `http://${host.includes(":") ? `[${host}]` : host}:${address.port}/`;
  log({ event: "listening", url });
  return { url, answer: (scenario) => desk.answerHere({ scenario }), closed };
}

async function listening(server: Server, port: number, host: string): Promise<void> {
  try {
    server.listen(port, host);
    await once(server, "listening");
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    const said = new Map([
      ["EADDRINUSE", `port ${port} of ${host} is taken; choose another with --port, or --port 0 for any free one`],
      ["EACCES", `port ${port} of ${host} is not allowed; choose one above 1023 with --port`],
      ["EADDRNOTAVAIL", `${host} is no address of this machine; choose another with --host`],
      ["ENOTFOUND", `${host} is no known host; choose another with --host`],
      ["EAI_AGAIN", `${host} is no known host; choose another with --host`],
    ]).get(code);
    if (said === undefined) throw error;
    throw new ListenError(said);
  }
}
