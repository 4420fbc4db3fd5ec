import { setImmediate } from "node:timers/promises";

/** Comes back when everything that waits for this thread has had its turn. */
export async function pause(): Promise<void> {
  await setImmediate();
}
