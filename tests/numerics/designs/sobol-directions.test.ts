import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { SOBOL_DIMENSIONS, sobolDirections } from "../../../src/numerics/designs/sobol-directions.ts";

/** Point of a row, in Gray code order, as a 32-bit fraction. */
function point(directions: Uint32Array, row: number): number {
  const gray = row ^ (row >>> 1);
  return directions.reduce((x, direction, b) => ((gray >>> b) & 1 ? x ^ direction : x), 0) >>> 0;
}

test("points in ten dimensions up to the last are those of another implementation", () => {
  const path = new URL("../../fixtures/designs/sobol-points.json", import.meta.url);
  const { points } = JSON.parse(readFileSync(path, "utf8")) as { points: Readonly<Record<string, readonly number[]>> };
  for (const [dimension, expected] of Object.entries(points)) {
    const directions = sobolDirections(Number(dimension));
    expect(expected.map((_, row) => point(directions, row) / 4)).toEqual(expected);
  }
});

test("every dimension puts one of the first 2^m points in each of 2^m equal strata, m up to 10", () => {
  for (let d = 0; d < SOBOL_DIMENSIONS; d++) {
    const directions = sobolDirections(d);
    for (const m of [1, 4, 10]) {
      const strata = new Set(Array.from({ length: 2 ** m }, (_, row) => point(directions, row) >>> (32 - m)));
      expect(strata.size, `dimension ${d}`).toBe(2 ** m);
    }
  }
});

test("the first two dimensions put one of the first 1024 points in each box of volume 1/1024", () => {
  const [x, y] = [sobolDirections(0), sobolDirections(1)];
  for (let bits = 0; bits <= 10; bits++) {
    const side = (value: number, digits: number): number => Math.floor(value / 2 ** (32 - digits));
    const boxes = new Set(
      Array.from({ length: 1024 }, (_, row) => side(point(x, row), bits) * 1024 + side(point(y, row), 10 - bits)),
    );
    expect(boxes.size).toBe(1024);
  }
});

test("the first 32 dimensions have property A: one of the first 2^32 points in each of the 2^32 half-side boxes", () => {
  // the leading digits of direction numbers, one row per dimension, are a matrix of full rank over two elements
  const rows = Array.from({ length: 32 }, (_, d) =>
    sobolDirections(d).reduce((bits, direction, b) => (direction >>> 31 ? bits + 2 ** b : bits), 0),
  );
  let rank = 0;
  for (let b = 0; b < 32; b++) {
    const pivot = rows.findIndex((bits, i) => i >= rank && (bits >>> b) & 1);
    if (pivot < 0) continue;
    [rows[rank], rows[pivot]] = [rows[pivot]!, rows[rank]!];
    for (let i = 0; i < 32; i++) if (i !== rank && (rows[i]! >>> b) & 1) rows[i] = (rows[i]! ^ rows[rank]!) >>> 0;
    rank += 1;
  }
  expect(rank).toBe(32);
});

test("there are 1,024 dimensions and no more", () => {
  expect(SOBOL_DIMENSIONS).toBe(1024);
  expect(() => sobolDirections(1024)).toThrow("Sobol dimension 1024 of 1024");
});
