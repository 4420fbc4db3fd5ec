/** Aborts at the first Ctrl-C or request to end; a second one ends the program at once. */
export function stopSignal(): AbortSignal {
  const stop = new AbortController();
  for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => stop.abort(signal));
  return stop.signal;
}
