import { describe, expect, test } from "vitest";
import { Code } from "../../../src/compile/kernel/code.ts";
import { Elementary } from "../../../src/compile/kernel/elementary.ts";
import { LogTables, tableBytes, writeTables } from "../../../src/compile/kernel/log-tables.ts";
import { moduleBytes } from "../../../src/compile/kernel/module.ts";
import { Power } from "../../../src/compile/kernel/power.ts";
import { exp, expm1 } from "../../../src/numerics/exp.ts";
import { log, log1p } from "../../../src/numerics/log.ts";
import { pow } from "../../../src/numerics/pow.ts";

/** Runs an emitted function over numbers, two lanes at a time. */
function lanes(name: "exp" | "expm1" | "log" | "log1p", values: Float64Array): Float64Array {
  const code = new Code(2);
  const elementary = new Elementary(code, new LogTables(code, 0));
  code.loop(() => {
    code.get(0).get(0).load(0);
    elementary[name]();
    code.store(0);
    code.get(0).i32(16).integer("add").tee(0).get(1).integer("lessUnsigned");
  });
  const bytes = moduleBytes([{ name: "run", parameters: 2, code }], { least: 64, most: 64, shared: false });
  const memory = new WebAssembly.Memory({ initial: 64, maximum: 64 });
  writeTables(memory.buffer, 0);
  const data = new Float64Array(memory.buffer, tableBytes, values.length);
  data.set(values);
  const instance = new WebAssembly.Instance(new WebAssembly.Module(bytes as BufferSource), { memory: { memory } });
  (instance.exports["run"] as (from: number, to: number) => void)(tableBytes, tableBytes + values.length * 8);
  return data.slice();
}

/** Runs the emitted power over pairs of numbers. */
function powers(x: Float64Array, y: Float64Array): Float64Array {
  const code = new Code(3);
  const power = new Power(code, new LogTables(code, 0));
  code.loop(() => {
    code.get(0).get(0).load(0).get(1).load(0);
    power.power();
    code.store(0);
    code.get(1).i32(16).integer("add").set(1);
    code.get(0).i32(16).integer("add").tee(0).get(2).integer("lessUnsigned");
  });
  const bytes = moduleBytes([{ name: "run", parameters: 3, code }], { least: 400, most: 400, shared: false });
  const memory = new WebAssembly.Memory({ initial: 400, maximum: 400 });
  writeTables(memory.buffer, 0);
  const half = tableBytes + x.length * 8;
  const data = new Float64Array(memory.buffer, tableBytes, x.length);
  data.set(x);
  new Float64Array(memory.buffer, half, y.length).set(y);
  const instance = new WebAssembly.Instance(new WebAssembly.Module(bytes as BufferSource), { memory: { memory } });
  (instance.exports["run"] as (base: number, exponent: number, to: number) => void)(tableBytes, half, half);
  return data.slice();
}

/** Every exponent, ordinary sizes, neighbours of 1, and the edges; an even count. */
function hostile(): Float64Array {
  const values: number[] = [];
  const view = new DataView(new ArrayBuffer(8));
  let state = 7;
  const word = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return Math.imul(state ^ (state >>> 15), 0x735a2d97) >>> 0;
  };
  for (let n = 0; n < 60_000; n++) {
    view.setUint32(0, word());
    view.setUint32(4, word());
    values.push(
      view.getFloat64(0),
      (word() / 2 ** 32) * 1500 - 750,
      1 + (word() / 2 ** 32 - 0.5) * 2 ** -((n % 50) + 1),
      (word() / 2 ** 32 - 0.5) * 2 ** ((n % 64) - 52),
    );
  }
  for (const edge of [
    0,
    1,
    5e-324,
    Number.MAX_VALUE,
    Number.POSITIVE_INFINITY,
    2 ** -1022,
    2 ** 60,
    2 ** -54,
    Number.EPSILON,
    745.2,
    709.79,
    700,
    710,
    Number.NaN,
  ]) {
    values.push(edge, -edge, edge - 1, 1 - edge);
  }
  return Float64Array.from(values);
}

describe("emitted elementary functions", () => {
  test.each([
    ["exp", exp],
    ["expm1", expm1],
    ["log", log],
    ["log1p", log1p],
  ] as const)("%s gives the bits of the scalar function on 240,000 arguments and all edges", (name, scalar) => {
    const values = hostile();
    const found = lanes(name, values);
    const different = [...values].filter((x, i) => !Object.is(scalar(x), found[i]!));
    expect(different).toEqual([]);
  });

  test("powers have the bits of the scalar function on 240,000 pairs, negative bases and all pairs of edges", () => {
    const random = hostile();
    const edges = [0, 1, 2, 3, 0.5, 1.5, 1e-310, 5e-324, 1e308, 1e20, 2 ** 53, 2 ** 53 + 2, Number.POSITIVE_INFINITY]
      .flatMap((edge) => [edge, -edge])
      .concat(Number.NaN);
    const pairs: [number, number][] = edges.flatMap((x) => edges.map((y): [number, number] => [x, y]));
    for (let i = 0; i < random.length; i++) {
      pairs.push(
        [random[i]!, random[(i * 7 + 3) % random.length]!],
        [Math.abs(random[i]!), random[(i * 5 + 1) % random.length]! / 50],
        [1 + Math.abs(random[i]! % 1), (random[(i * 3 + 2) % random.length]! % 40) - 20],
      );
    }
    if (pairs.length % 2 === 1) pairs.push([1, 1]);
    const x = Float64Array.from(pairs, (pair) => pair[0]);
    const y = Float64Array.from(pairs, (pair) => pair[1]);
    const found = powers(x, y);
    const different = pairs.filter(([a, b], i) => !Object.is(pow(a, b), found[i]!)).slice(0, 20);
    expect(different).toEqual([]);
  });
});
