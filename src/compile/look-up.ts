import { interpolated } from "../numerics/interpolate.ts";
import type { Table } from "./program.ts";

/** The value of a table at a position, in the series numbered `row`; NaN where `row` is not the number of a series. */
export function lookUp(table: Table, at: number, row: number): number {
  const y = table.y[row];
  if (y === undefined) return Number.NaN;
  return interpolated(table.between, table.x, y, table.slopes[row]!, at);
}
