import type { Traced } from "./traced.ts";

interface Kept {
  /** Components that were read, with the values found. */
  readonly reads: ReadonlyMap<number, number>;
  /** By group. */
  readonly traced: readonly Traced[];
}

/**
 * What the referee found for rows before, for one structure: programs that differ in the values of their inputs alone. A
 * strategy is evaluated again only where a value it read is another one; what it did not read cannot matter.
 */
export class KeptTraces {
  private readonly kept = new Map<number, Kept>();

  /** The traces of a strategy, by group; `evaluate` is given a row that tells what is read of it. */
  trace(s: number, row: Float64Array, evaluate: (row: Float64Array) => readonly Traced[]): readonly Traced[] {
    const known = this.kept.get(s);
    if (known !== undefined && [...known.reads].every(([at, value]) => Object.is(row[at], value))) return known.traced;
    const reads = new Map<number, number>();
    const watched = new Proxy(row, {
      get(target, name) {
        const at = typeof name === "string" ? Number(name) : Number.NaN;
        if (Number.isInteger(at)) reads.set(at, target[at]!);
        return Reflect.get(target, name, target);
      },
    });
    const traced = evaluate(watched);
    this.kept.set(s, { reads, traced });
    return traced;
  }
}
