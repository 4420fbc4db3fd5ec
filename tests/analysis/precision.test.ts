import { expect, test } from "vitest";
import { precision } from "../../src/analysis/precision.ts";

test("mean, spread, error and interval of a handful of draws", () => {
  // Constructed: 1 to 5 out of order; variance 2.5; type-7 quantiles at 1 + 4 p.
  const found = precision(Float64Array.of(4, 1, 5, 3, 2));
  expect(found.mean).toBe(3);
  expect(found.sd).toBeCloseTo(Math.sqrt(2.5), 15);
  expect(found.mcse).toBeCloseTo(Math.sqrt(0.5), 15);
  expect(found.low).toBeCloseTo(1.1, 14);
  expect(found.high).toBeCloseTo(4.9, 14);
});

test("the draws are left in their order", () => {
  const values = Float64Array.of(3, 1, 2);
  precision(values);
  expect(Array.from(values)).toEqual([3, 1, 2]);
});

test("randomisations change the error and nothing else", () => {
  const values = Float64Array.of(0, 4, 2, 6);
  const plain = precision(values);
  expect(precision(values, 2)).toEqual({ ...plain, mcse: 2 });
});

test("a constant has no spread at all", () => {
  expect(precision(Float64Array.of(0.125, 0.125, 0.125))).toEqual({
    mean: 0.125,
    sd: 0,
    mcse: 0,
    low: 0.125,
    high: 0.125,
  });
});

test("scaling a quantity scales all five numbers", () => {
  const values = Float64Array.from({ length: 50 }, (_, k) => ((k * 37) % 50) / 3);
  const scaled = precision(values.map((v) => v * 4));
  expect(scaled).toEqual(Object.fromEntries(Object.entries(precision(values)).map(([name, v]) => [name, v * 4])));
});

test("one draw or none tells too little", () => {
  expect(() => precision(Float64Array.of(1))).toThrow(/too few|empty/);
  expect(() => precision(new Float64Array(0))).toThrow(/too few|empty/);
});
