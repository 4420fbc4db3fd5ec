import { ranges } from "../compile/graph.ts";
import { regions, type TapeWriter } from "./tape.ts";
import type { View } from "./view.ts";

/** Rows that are free for passing values; `high` is how many were ever taken. */
export class RowPool {
  high: number;
  private readonly free: number[] = [];

  constructor(first: number) {
    this.high = first;
  }

  /** A free row. */
  take(): number {
    return this.free.pop() ?? this.high++;
  }

  /** Gives a row back. */
  give(row: number): void {
    this.free.push(row);
  }
}

/** What a stage works with: where values lie, where passing values may lie, and how many lanes a row has. */
export interface Bench {
  readonly view: View;
  readonly lanes: number;
  readonly pool: RowPool;
  /** The place of a value that exists before the stage; throws where there is none. */
  place(node: number): number;
  /** The place of a number. */
  constant(value: number): number;
}

/** The place of a row in a region of lanes. */
export function rowPlace(region: "row" | "groupRow" | "opening" | "closing", row: number, lanes: number): number {
  return ((row * lanes) << 3) | regions[region];
}

/** The values that a stage has computed and that are still there. */
export class Stage {
  private readonly bench: Bench;
  private readonly writer: TapeWriter;
  private readonly placed = new Map<number, number>();
  private readonly taken = new Map<number, number>();

  constructor(bench: Bench, writer: TapeWriter) {
    this.bench = bench;
    this.writer = writer;
  }

  /** Where a value lies: in this stage, or before it. */
  place(node: number): number {
    const resolved = this.bench.view.resolved(node);
    return this.placed.get(resolved) ?? this.bench.place(resolved);
  }

  /**
   * Computes nodes in ascending order. `kept` gives a row for those that outlive the stage's passing values: a place, or
   * undefined for a passing one; those in `wanted` stay until `end`, the others until their last use.
   */
  compute(nodes: readonly number[], wanted: ReadonlySet<number>, kept: (node: number) => number | undefined): void {
    const { view, lanes, pool } = this.bench;
    const lastUse = new Map<number, number>();
    for (const node of nodes) for (const operand of view.operands(node)) lastUse.set(operand, node);
    for (const node of nodes) {
      const operands = view.operands(node);
      const places = operands.map((operand) => this.place(operand));
      // an operand's row may take the result: every loop reads a lane before it writes it
      for (const operand of new Set(operands)) {
        const row = this.taken.get(operand);
        if (row === undefined || lastUse.get(operand) !== node || wanted.has(operand)) continue;
        pool.give(row);
        this.taken.delete(operand);
        this.placed.delete(operand);
      }
      let place = kept(node);
      if (place === undefined) {
        const row = pool.take();
        this.taken.set(node, row);
        place = rowPlace("row", row, lanes);
      }
      this.placed.set(node, place);
      this.operation(node, place, places);
    }
  }

  /** Gives back the rows of passing values; what was kept elsewhere stays known. */
  end(): void {
    for (const [node, row] of this.taken) {
      this.bench.pool.give(row);
      this.placed.delete(node);
    }
    this.taken.clear();
  }

  private operation(number: number, result: number, places: readonly number[]): void {
    const node = this.bench.view.graph.nodes[number]!;
    const [a = 0, b = 0, c = 0] = places;
    switch (node.op) {
      case "guard": {
        const [low, high] = ranges[node.demand];
        this.writer.write("keep", result, a, this.bench.constant(low), this.bench.constant(high));
        break;
      }
      case "crude":
        this.writer.write("crude", result, a, b, this.bench.constant(node.years));
        break;
      case "table":
        this.writer.write("table", result, a, b, (node.table << 3) | regions.constant);
        break;
      default:
        this.writer.write(node.op, result, a, b, c);
    }
  }
}
