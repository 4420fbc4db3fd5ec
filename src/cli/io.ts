/** What a command may touch of the world; tests give their own. */
export interface Io {
  out(text: string): void;
  err(text: string): void;
  /** The present time as an ISO text. */
  now(): string;
}
