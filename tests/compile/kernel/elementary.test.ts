import { describe, expect, test } from "vitest";
import { Code } from "../../../src/compile/kernel/code.ts";
import { Elementary, tableBytes, writeTables } from "../../../src/compile/kernel/elementary.ts";
import { moduleBytes } from "../../../src/compile/kernel/module.ts";
import { exp, expm1 } from "../../../src/numerics/exp.ts";
import { log, log1p } from "../../../src/numerics/log.ts";

/** Runs an emitted function over numbers, two lanes at a time. */
function lanes(name: "exp" | "expm1" | "log" | "log1p", values: Float64Array): Float64Array {
  const code = new Code(2);
  const elementary = new Elementary(code, { at: 0 });
  code.loop(() => {
    code.get(0).get(0).load(0);
    elementary[name]();
    code.store(0);
    code.get(0).i32(16).integer("add").tee(0).get(1).integer("lessUnsigned");
  });
  const bytes = moduleBytes([{ name: "run", parameters: 2, code }], { least: 64, most: 64, shared: false });
  const memory = new WebAssembly.Memory({ initial: 64, maximum: 64 });
  writeTables(memory.buffer, { at: 0 });
  const data = new Float64Array(memory.buffer, tableBytes, values.length);
  data.set(values);
  const instance = new WebAssembly.Instance(new WebAssembly.Module(bytes as BufferSource), { memory: { memory } });
  (instance.exports["run"] as (from: number, to: number) => void)(tableBytes, tableBytes + values.length * 8);
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
});
