import type { Table } from "../program.ts";
import { Code } from "./code.ts";
import type { Functions } from "./module.ts";

/** Numbers in a record: the value of a row; where to go on from there, position, length, rise; two curvatures. */
const widths = { step: 1, linear: 4, monotone: 6 } as const;

/** A table's numbers in the kernel's memory: positions filled up with NaN, then a record per series and row. */
interface Laid {
  readonly table: Table;
  readonly positions: number;
  readonly steps: number;
  readonly records: number;
  readonly series: number;
}

/**
 * Tables read at a position and a series that vary from lane to lane, as `lookUp` reads them. The row is found by halving
 * in as many steps for every lane; a series there is not is one more, of NaN, so that no number reaches outside.
 */
export class TableFunctions {
  /** First address behind the tables. */
  readonly end: number;
  private readonly laid: readonly Laid[];
  private readonly functions: Functions;
  private readonly known = new Map<number, number>();

  /** Lays tables out from an address on, those that are wanted. */
  constructor(functions: Functions, tables: readonly Table[], wanted: ReadonlySet<number>, from: number) {
    this.functions = functions;
    let end = from;
    this.laid = tables.map((table, t) => {
      if (!wanted.has(t)) return { table, positions: 0, steps: 0, records: 0, series: 0 };
      const steps = 32 - Math.clz32(table.x.length);
      const positions = end;
      const records = positions + 8 * ((1 << steps) - 1);
      const series = 8 * widths[table.between] * (table.x.length + 1);
      end = records + series * (table.y.length + 1);
      return { table, positions, steps, records, series };
    });
    this.end = end;
  }

  /** Writes what the functions read. */
  write(memory: ArrayBufferLike): void {
    for (const { table, positions, steps, records, series } of this.laid) {
      if (steps === 0) continue;
      const x = new Float64Array(memory, positions, (1 << steps) - 1).fill(Number.NaN);
      x.set(table.x);
      for (let row = 0; row <= table.y.length; row++) {
        const numbers = new Float64Array(memory, records + row * series, series / 8).fill(Number.NaN);
        if (row < table.y.length) writeSeries(numbers, table, row);
      }
    }
  }

  /** The number of a table's function: address of the first pair of positions, of the end, of the series. */
  number(t: number): number {
    const known = this.known.get(t);
    if (known !== undefined) return known;
    const number = this.functions.add(3, look(this.laid[t]!));
    this.known.set(t, number);
    return number;
  }
}

/** A record for each number of positions that may lie at or below the one asked for. */
function writeSeries(numbers: Float64Array, { between, x, y, slopes }: Table, row: number): void {
  const values = y[row]!;
  const width = widths[between];
  for (let below = 0; below <= x.length; below++) {
    const i = Math.max(0, below - 1);
    const at = below * width;
    numbers[at] = values[i]!;
    if (width === 1 || below === 0 || below === x.length) continue;
    const h = x[i + 1]! - x[i]!;
    const rise = values[i + 1]! - values[i]!;
    numbers.set([x[i]!, h, rise], at + 1);
    if (width === 6) numbers.set([h * slopes[row]![i]! - rise, rise - h * slopes[row]![i + 1]!], at + 4);
  }
}

function look({ table, positions, steps, records, series }: Laid): Code {
  const code = new Code(3);
  const [from, to, rows] = [0, 1, 2];
  const [below, k, record] = [code.local("i32"), code.local("i32"), code.local("i32")];
  const [at, row, t] = [code.local("f64"), code.local("f64"), code.local("f64")];
  const field = (position: number): Code => code.get(record).loadDouble(records + 8 * position);
  code.loop(() => {
    for (const lane of [0, 1]) {
      code
        .get(from)
        .loadDouble(8 * lane)
        .set(at);
      code
        .get(rows)
        .loadDouble(8 * lane)
        .set(row);
      code.i32(0).set(below);
      for (let step = steps - 1; step >= 0; step--) {
        code.get(below);
        code
          .get(below)
          .i32(3)
          .integer("shiftLeft")
          .loadDouble(positions + 8 * ((1 << step) - 1));
        code.get(at).double("lessOrEqual").i32(step).integer("shiftLeft").integer("add").set(below);
      }
      // the number of the series where the row is one, else that of the series of NaN
      code.get(row).truncate().tee(k).i32(table.y.length);
      code.get(k).convert().get(row).double("equal");
      code.get(k).i32(table.y.length).integer("lessUnsigned").integer("and");
      code.select().i32(series).integer("multiply");
      code
        .get(below)
        .i32(8 * widths[table.between])
        .integer("multiply")
        .integer("add")
        .set(record);
      code.get(from);
      if (table.between === "step") field(0);
      else between();
      code.storeDouble(8 * lane);
    }
    code.get(rows).i32(16).integer("add").set(rows);
    code.get(from).i32(16).integer("add").tee(from).get(to).integer("lessUnsigned");
  });
  return code;

  /** Pushes the value on the line or the curve behind a row, or that of the row at either end. */
  function between(): void {
    code.get(at);
    field(1);
    code.double("subtract");
    field(2);
    code.double("divide").set(t);
    field(0);
    if (table.between === "linear") {
      field(3);
      code.get(t).double("multiply");
    } else {
      const left = (): Code => code.number(1).get(t).double("subtract");
      code.get(t);
      field(3);
      left();
      left();
      field(4);
      code.double("multiply").get(t);
      field(5);
      code.double("multiply").double("add").double("multiply").double("add").double("multiply");
    }
    code.double("add");
    field(0);
    code
      .get(below)
      .i32(1)
      .integer("subtract")
      .i32(table.x.length - 1)
      .integer("lessUnsigned")
      .select();
  }
}
