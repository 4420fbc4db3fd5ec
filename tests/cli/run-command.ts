import { main } from "../../src/cli/main.ts";

/** What a command line printed and how it ended. */
export interface CommandRun {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs one command line in memory, with a fixed clock. */
export async function runCommand(...argv: readonly string[]): Promise<CommandRun> {
  let out = "";
  let err = "";
  const code = await main(argv, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    progress: () => {},
    now: () => "2025-01-01T00:00:00.000Z",
    stop: () => AbortSignal.abort(),
  });
  return { code, out, err };
}
