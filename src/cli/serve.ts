import { type Listening, listen } from "../server/listen.ts";
import type { Io } from "./io.ts";

/** Where a server listens and what it serves. */
export interface ServeOptions {
  readonly port: number;
  readonly host: string;
  readonly root?: string;
}

/**
 * `serve`: the page and the interface for programs, until Ctrl-C. `first` runs when the port is taken, before the
 * address is said; it is not stopped half-way. Throws `ListenError`, root-missing, and what `first` throws.
 */
export async function serve(
  options: ServeOptions,
  io: Io,
  first: (answer: Listening["answer"]) => void | Promise<void> = () => {},
): Promise<void> {
  const end = new AbortController();
  const asked = io.stop();
  const { url, answer, closed } = await listen({
    root: options.root ?? ".",
    port: options.port,
    host: options.host,
    stop: end.signal,
    log: (line) => io.err(`${line}\n`),
  });
  try {
    await first(answer);
    io.out(`Steelyard listens on ${url}\n`);
    if (asked.aborted) end.abort();
    else asked.addEventListener("abort", () => end.abort(), { once: true });
  } catch (error) {
    end.abort();
    throw error;
  } finally {
    await closed;
  }
}
