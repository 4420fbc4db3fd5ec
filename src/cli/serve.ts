import { listen } from "../server/listen.ts";
import type { Io } from "./io.ts";

/** Where a server listens and what it serves. */
export interface ServeOptions {
  readonly port: number;
  readonly host: string;
  readonly root?: string;
}

/**
 * `serve`: the page and the interface for programs, until Ctrl-C. `first` runs when the port is taken, before the
 * address is said. Throws `ListenError`, root-missing, and what `first` throws.
 */
export async function serve(options: ServeOptions, io: Io, first: () => Promise<void> = async () => {}): Promise<void> {
  const end = new AbortController();
  const asked = io.stop();
  if (asked.aborted) end.abort();
  else asked.addEventListener("abort", () => end.abort(), { once: true });
  const { url, closed } = await listen({
    root: options.root ?? ".",
    port: options.port,
    host: options.host,
    stop: end.signal,
    log: (line) => io.err(`${line}\n`),
  });
  try {
    await first();
    io.out(`Steelyard listens on ${url}\n`);
  } catch (error) {
    end.abort();
    throw error;
  } finally {
    await closed;
  }
}
