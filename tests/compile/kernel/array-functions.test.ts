import { describe, expect, test } from "vitest";
import { type ArrayFunction, ArrayFunctions } from "../../../src/compile/kernel/array-functions.ts";
import { Code } from "../../../src/compile/kernel/code.ts";
import { LogTables, nearZero, tableBytes, writeTables } from "../../../src/compile/kernel/log-tables.ts";
import { Functions, moduleBytes } from "../../../src/compile/kernel/module.ts";
import { PowerLogarithm } from "../../../src/compile/kernel/power-logarithm.ts";
import { mostBases, widest, workBytes } from "../../../src/compile/kernel/within-range.ts";
import { instantiate } from "../../../src/host/instantiate.ts";
import { crudeHazard } from "../../../src/numerics/crude-incidence.ts";
import { exp, expm1 } from "../../../src/numerics/exp.ts";
import { log, log1p } from "../../../src/numerics/log.ts";
import { pow } from "../../../src/numerics/pow.ts";

const pages = 200;

/** A number from 0 to 1 by a multiplicative hash, so that the same numbers come in every run. */
function uniform(n: number): number {
  const h = Math.imul((n + 1) ^ (n >>> 15), 0x9e3779b1);
  return ((Math.imul(h ^ (h >>> 13), 0x85ebca6b) >>> 0) + 0.5) / 2 ** 32;
}

/** Applies an array function to numbers of an even count, in place, with a second array behind them. */
function applied(name: ArrayFunction, values: Float64Array, bases?: Float64Array): Float64Array {
  const functions = new Functions();
  const number = new ArrayFunctions(functions, 0).number(name);
  const code = new Code(0);
  const [from, bytes] = [tableBytes + workBytes, values.length * 8];
  code.i32(from).i32(from + bytes);
  if (bases !== undefined) code.i32(from + bytes);
  if (name.startsWith("crude ")) code.i32(from + 2 * bytes);
  code.call(number);
  functions.add(0, code, "run");
  const { memory, exports } = instantiate(
    moduleBytes(functions.list, { least: pages, most: pages, shared: false }),
    pages,
  );
  writeTables(memory, 0);
  const data = new Float64Array(memory, from, values.length * 2);
  data.set(values);
  if (bases !== undefined) data.set(bases, values.length);
  exports["run"]!();
  return data.slice(0, values.length);
}

/** Powers of some bases within range, of all of the first, then of the second. */
function powersOf(bases: readonly number[], exponents: Float64Array): readonly Float64Array[] {
  const functions = new Functions();
  const number = new ArrayFunctions(functions, 0).number(`powers ${bases.length}`);
  const code = new Code(0);
  const [start, bytes] = [tableBytes + workBytes, exponents.length * 8];
  const logarithms = start + bases.length * bytes;
  const rest = code.local("v128");
  for (const [i, base] of bases.entries()) {
    code.i32(logarithms + 32 * i).constant(base);
    new PowerLogarithm(code, new LogTables(code, 0)).split();
    code
      .set(rest)
      .store(0)
      .i32(logarithms + 32 * i)
      .get(rest)
      .store(16);
  }
  code.i32(start).i32(start + bytes);
  for (const i of bases.keys()) {
    if (i > 0) code.i32(start + i * bytes);
    code.i32(logarithms + 32 * i);
  }
  code.call(number);
  functions.add(0, code, "run");
  const { memory, exports } = instantiate(
    moduleBytes(functions.list, { least: pages, most: pages, shared: false }),
    pages,
  );
  writeTables(memory, 0);
  new Float64Array(memory, start, exponents.length).set(exponents);
  exports["run"]!();
  return bases.map((_, i) => new Float64Array(memory, start + i * bytes, exponents.length).slice());
}

const everywhere = Float64Array.from({ length: 40_000 }, (_, n) => {
  if (n % 4 === 0) return (uniform(n) * 2 - 1) * widest;
  if (n % 4 === 1) return (uniform(n) * 2 - 1) * 2 ** -(n % 60);
  if (n % 4 === 2) return (uniform(n) * 2 - 1) * 40;
  return (uniform(n) - 0.5) * 2 ** (-1000 - (n % 70));
});
const edges = [widest, -widest, 2 ** -54, -(2 ** -54), 5e-324, -5e-324, 2 ** -1022, -(2 ** -1022), -37.4, -50, -745.2];
const nonZero = Float64Array.from([...everywhere, ...edges.filter((x) => Math.abs(x) <= widest)]);
const even = (list: Float64Array): Float64Array => (list.length % 4 === 0 ? list : list.slice(0, list.length & ~3));

/** Numbers whose result is not that of the scalar function. */
function different(values: Float64Array, found: Float64Array, scalar: (x: number, i: number) => number): number[] {
  return [...values].filter((x, i) => !Object.is(scalar(x, i), found[i]!)).slice(0, 10);
}

describe("functions over arrays give the bits of the scalar functions", () => {
  test.each([
    ["exp within range", exp],
    ["expm1 within range", expm1],
  ] as const)("%s", (name, scalar) => {
    const values = even(Float64Array.from([0, -0, ...nonZero]));
    expect(different(values, applied(name, values), scalar)).toEqual([]);
  });

  test("expm1 within range, not 0", () => {
    const values = even(nonZero.filter((x) => x !== 0));
    expect(different(values, applied("expm1 within range, not 0", values), expm1)).toEqual([]);
  });

  test.each(["expm1 near 0", "expm1 near 0, not 0"] as const)("%s", (name) => {
    const near = nonZero.filter((x) => x !== 0 && Math.abs(x) <= nearZero);
    const values = even(Float64Array.from(name === "expm1 near 0" ? [0, -0, nearZero, -nearZero, ...near] : near));
    expect(values.length).toBeGreaterThan(10_000);
    expect(different(values, applied(name, values), expm1)).toEqual([]);
  });

  test.each([
    ["exp", exp],
    ["expm1", expm1],
    ["log", log],
    ["log1p", log1p],
  ] as const)("%s of anything", (name, scalar) => {
    const values = even(Float64Array.from([0, -0, Number.NaN, Infinity, -Infinity, 800, -800, ...nonZero]));
    expect(different(values, applied(name, values), scalar)).toEqual([]);
  });

  test("hazards of crude incidences", () => {
    const edges = [0, -0, 1e-300, 1e-12, 0.003, 0.2, 0.5, 0.99, 1 - 2 ** -53, 1, 1.5, -0.1, Number.NaN, Infinity];
    const hazards = [0, 1e-9, 0.1, 2, 700, 1e300, Number.NaN];
    const pairs = edges.flatMap((p) => hazards.map((other): [number, number] => [p, other]));
    for (let n = 0; n < 2000; n++) pairs.push([uniform(n) ** 3, uniform(n + 5000) * 4]);
    const incidences = even(Float64Array.from(pairs, ([p]) => p));
    const others = Float64Array.from(incidences, (_, i) => pairs[i]![1]);
    for (const years of [1, 0.5, 1 / 12]) {
      const found = applied(`crude ${years}`, incidences, others);
      expect(different(incidences, found, (p, i) => crudeHazard(p, others[i]!, years))).toEqual([]);
    }
  });

  test("powers of anything", () => {
    const exponents = even(Float64Array.from(everywhere, (x) => x / 20));
    const bases = exponents.map((_, n) => (uniform(n + 7) - 0.1) * 2 ** ((n % 40) - 20));
    expect(different(exponents, applied("power", exponents, bases), (y, i) => pow(bases[i]!, y))).toEqual([]);
  });

  test("powers of one base within range", () => {
    for (const base of [1.05, 0.97, 1, 2, 1e-5, 3e7, 5e-324, 1e308, 2 ** -1030, 1 + 2 ** -52]) {
      const most = Math.min(widest / Math.max(1e-300, Math.abs(Math.log(base))), 2 ** 60) * 0.999;
      const values = even(Float64Array.from([0, -0, most, -most, ...everywhere.map((x) => (x / widest) * most)]));
      expect(different(values, powersOf([base], values)[0]!, (y) => pow(base, y))).toEqual([]);
    }
  });

  test.each([2, 3, mostBases])("powers of %i bases within range, in blocks whole and broken", (count) => {
    const bases = [1.05, 0.9, 1, 1.6, 1 + 2 ** -52, 0.3].slice(0, count);
    for (const length of [4, 124, 128, 132, 20_000]) {
      const exponents = Float64Array.from(everywhere.subarray(0, length), (x) => x / 2);
      for (const [i, found] of powersOf(bases, exponents).entries())
        expect(different(exponents, found, (y) => pow(bases[i]!, y))).toEqual([]);
    }
  });
});
