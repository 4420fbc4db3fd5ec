import fc from "fast-check";
import { expect, test } from "vitest";
import { centred, fillUniforms, keyedGenerator, PAGE_DRAWS } from "../../src/numerics/random-stream.ts";

const draws = (seed: number, component: string, from: number, to: number): Float64Array => {
  const target = new Float64Array(to - from);
  fillUniforms(seed, component, from, to, target);
  return target;
};

test("a draw's number does not depend on the block it is asked for in", () => {
  const whole = draws(7, "cost[A]", 0, 3 * PAGE_DRAWS);
  const place = fc.integer({ min: 0, max: 3 * PAGE_DRAWS });
  fc.assert(
    fc.property(place, place, (p, q) => {
      const [from, to] = [Math.min(p, q), Math.max(p, q)];
      expect(draws(7, "cost[A]", from, to)).toEqual(whole.subarray(from, to));
    }),
    { numRuns: 30 },
  );
});

test("the first numbers of a seed stay as they are", () => {
  // seedrandom 3.0.5, alea keyed "1/x/0"; recorded so that a changed stream shows
  expect([...draws(1, "x", 0, 3)]).toEqual([0.3722660190534822, 0.059844444767548466, 0.6361051131912202]);
});

test("uniforms are odd multiples of 2^-53, never 0 or 1, and so are their complements", () => {
  for (const u of draws(1, "x", 0, 5000)) {
    expect(Number.isInteger(u * 2 ** 53) && (u * 2 ** 53) % 2 === 1).toBe(true);
    expect(u > 0 && u < 1).toBe(true);
    expect(1 - (1 - u)).toBe(u);
  }
});

test("the ends of the interval are moved inside", () => {
  expect(centred(0)).toBe(2 ** -53);
  expect(centred(1)).toBe(1 - 2 ** -53);
  expect(centred(1 - 2 ** -53)).toBe(1 - 2 ** -53);
  expect(centred(0.5)).toBe(0.5 + 2 ** -53);
});

test("seeds, components and pages have streams of their own", () => {
  const first = new Set(
    [1, 2].flatMap((seed) =>
      ["a", "b", "a[1]", "a/1"].flatMap((component) =>
        [0, 1, 2].map((page) => draws(seed, component, page * PAGE_DRAWS, page * PAGE_DRAWS + 1)[0]),
      ),
    ),
  );
  expect(first.size).toBe(24);
});

test("streams of 60 components are uncorrelated, and so are neighbouring pages", () => {
  const size = 4 * PAGE_DRAWS;
  const columns = Array.from({ length: 60 }, (_, i) => draws(5, `input[${i}]`, 0, size));
  const score = (x: Float64Array, y: Float64Array): number =>
    (x.reduce((sum, u, k) => sum + (u - 0.5) * (y[k]! - 0.5), 0) * 12) / Math.sqrt(x.length);
  const scores = columns.flatMap((x, i) => columns.slice(0, i).map((y) => score(x, y)));
  // 1,770 standard normal scores: their mean square is 1 with standard error sqrt(2 / 1770)
  const meanSquare = scores.reduce((sum, z) => sum + z * z, 0) / scores.length;
  expect(Math.abs(meanSquare - 1)).toBeLessThan(4 * Math.sqrt(2 / scores.length));
  expect(Math.max(...scores.map(Math.abs))).toBeLessThan(5);
  const lagged = columns.map((x) => score(x.slice(0, -PAGE_DRAWS), x.slice(PAGE_DRAWS)));
  expect(Math.max(...lagged.map(Math.abs))).toBeLessThan(4);
});

test("the first numbers of 20,000 keys fill 64 cells evenly", () => {
  const counts = new Float64Array(64);
  for (let i = 0; i < 20_000; i++) counts[Math.floor(keyedGenerator(1, `x/${i}`)() * 64)]! += 1;
  const chi = counts.reduce((sum, count) => sum + (count - 312.5) ** 2 / 312.5, 0);
  // chi-square of 63 degrees of freedom: mean 63, sd sqrt(126)
  expect(Math.abs(chi - 63)).toBeLessThan(4 * Math.sqrt(126));
});
