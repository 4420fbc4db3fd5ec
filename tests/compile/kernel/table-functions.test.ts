import { expect, test } from "vitest";
import { Code } from "../../../src/compile/kernel/code.ts";
import { Functions, moduleBytes } from "../../../src/compile/kernel/module.ts";
import { TableFunctions } from "../../../src/compile/kernel/table-functions.ts";
import { lookUp } from "../../../src/compile/look-up.ts";
import type { Table } from "../../../src/compile/program.ts";
import { instantiate } from "../../../src/host/instantiate.ts";
import { monotoneSlopes } from "../../../src/numerics/interpolate.ts";

function tableOf(between: Table["between"], x: Float64Array, rows: number): Table {
  const y = Array.from({ length: rows }, (_, row) => x.map((at, i) => Math.sin(at * (row + 1)) + (i % 3)));
  const slopes = y.map((series) => monotoneSlopes(x, series));
  return { between, x, y, slopes } as unknown as Table;
}

/** Values of a table at positions and series, an even count. */
function found(table: Table, at: Float64Array, series: Float64Array): Float64Array {
  const functions = new Functions();
  const tables = new TableFunctions(functions, [table], new Set([0]), 0);
  const from = (tables.end + 15) & -16;
  const bytes = at.length * 8;
  const number = tables.number(0);
  const code = new Code(0);
  code
    .i32(from)
    .i32(from + bytes)
    .i32(from + bytes)
    .call(number);
  functions.add(0, code, "run");
  const pages = 20;
  const { memory, exports } = instantiate(
    moduleBytes(functions.list, { least: pages, most: pages, shared: false }),
    pages,
  );
  tables.write(memory);
  const data = new Float64Array(memory, from, 2 * at.length);
  data.set(at);
  data.set(series, at.length);
  exports["run"]!();
  return data.slice(0, at.length);
}

test.each(["step", "linear", "monotone"] as const)(
  "tables read by %s give the bits of a look-up, anywhere",
  (between) => {
    for (const length of [1, 2, 3, 4, 7, 8, 101]) {
      const x = Float64Array.from({ length }, (_, i) => i * 0.7 + (i % 4) * 0.1 - 3);
      for (const rows of [1, 3]) {
        const table = tableOf(between, x, rows);
        const hostile = [Number.NaN, Infinity, -Infinity, 0, -0, 1e308, -1e308, 5e-324];
        const positions = [
          ...x,
          ...x.map((at) => at + 1e-9),
          ...x.map((at) => at - 1e-9),
          ...x.map((at) => at + 0.3),
          ...hostile,
        ];
        const series = [0, -0, 1, 2, 3, 0.5, -1, 1e10, Number.NaN, Infinity];
        const pairs = positions.flatMap((at) => series.map((row): [number, number] => [at, row]));
        if (pairs.length % 2 === 1) pairs.push([0, 0]);
        const values = found(
          table,
          Float64Array.from(pairs, ([at]) => at),
          Float64Array.from(pairs, ([, row]) => row),
        );
        const different = pairs.filter(([at, row], i) => !Object.is(lookUp(table, at, row), values[i]!));
        expect(different).toEqual([]);
      }
    }
  },
);
