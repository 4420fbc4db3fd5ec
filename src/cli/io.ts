/** What a command may touch of the world; tests give their own. */
export interface Io {
  out(text: string): void;
  err(text: string): void;
  /** Shows how far a run has come. */
  progress(progress: { readonly done: number; readonly total: number }): void;
  /** The present time as an ISO text. */
  now(): string;
  /** Says when to stop serving. Asked for by servers only: everything else ends at once. */
  stop(): AbortSignal;
}
