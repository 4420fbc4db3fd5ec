import type { RunPool } from "../host/run-pool.ts";
import type { FileSource } from "../schema/files.ts";

/** What one server may take on; a request beyond is refused, never cut. */
export interface Limits {
  /** Bytes of a request's body. */
  readonly bodyBytes: number;
  readonly draws: number;
  /** Runs and checks at once; the next is told to come back. */
  readonly places: number;
  /** States x cycles x strategies x groups of one evaluation. */
  readonly cells: number;
  /** Cells x draws of a run. */
  readonly cellDraws: number;
  /** Numbers kept of all draws of a run, 8 bytes each. */
  readonly kept: number;
  /** Numbers of a trace. */
  readonly traced: number;
}

/** The limits unless told otherwise. */
export const usualLimits: Limits = {
  bodyBytes: 2_000_000,
  draws: 1_000_000,
  places: 4,
  cells: 10_000_000,
  cellDraws: 1e13,
  kept: 50_000_000,
  traced: 2_000_000,
};

/** One line of the log. */
export type LogEntry = Readonly<Record<string, string | number | boolean | null>>;

/** What the server is made of; everything that touches the world is given in. */
export interface ServerParts {
  /** The files of the case root as they are now. */
  files(): FileSource;
  /** A file of the built page, undefined where there is none. */
  page(path: string): Promise<Uint8Array<ArrayBuffer> | undefined>;
  /** The threads that run what is asked for. */
  readonly pool: Pick<RunPool, "run">;
  /** Comes back when waiting requests have had their turn. */
  pause(): Promise<void>;
  /** Milliseconds since 1970. */
  now(): number;
  log(entry: LogEntry): void;
  readonly limits: Limits;
  /** True where only this machine should reach the server: requests addressed to other names are refused. */
  readonly loopback: boolean;
}
