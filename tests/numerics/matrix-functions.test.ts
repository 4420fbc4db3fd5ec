import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { expm } from "../../src/numerics/expm.ts";
import { combine, identity, multiply, norm1, solve } from "../../src/numerics/matrix.ts";
import { matrixLog } from "../../src/numerics/matrix-log.ts";

interface Case {
  readonly name: string;
  readonly n: number;
  readonly matrix: readonly number[];
  readonly value: readonly number[];
}
interface Fixture {
  readonly exponentials: readonly Case[];
  readonly logarithms: readonly Case[];
}
const path = new URL("../fixtures/numerics/matrices.json", import.meta.url);
const fixture: Fixture = JSON.parse(readFileSync(path, "utf8"));

/** Distance in the 1-norm relative to the reference, or absolute where that is zero. */
const distance = (a: Float64Array, reference: readonly number[], n: number) => {
  const b = Float64Array.from(reference);
  return norm1(combine(1, a, -1, b), n) / (norm1(b, n) || 1);
};

describe("matrix arithmetic", () => {
  const a = Float64Array.of(2, 1, 1, 4, 3, 3, 8, 7, 9);

  test("multiplies from the left, row by row", () => {
    expect([...multiply(Float64Array.of(1, 2, 3, 4), Float64Array.of(5, 6, 7, 8), 2)]).toEqual([19, 22, 43, 50]); // by hand
  });

  test("takes the largest column, not row, as norm", () => {
    expect(norm1(Float64Array.of(1, -2, 3, 4), 2)).toBe(6); // by hand
  });

  test("solves for one column and for many", () => {
    // By hand: a (1, 2, 3) = (7, 19, 49).
    solve(a, Float64Array.of(7, 19, 49), 3)!.forEach((value, i) => void expect(value).toBeCloseTo(i + 1, 13));
    const inverse = solve(a, identity(3), 3)!;
    expect(distance(multiply(a, inverse, 3), [...identity(3)], 3)).toBeLessThan(1e-14);
  });

  test("exchanges rows where the first pivot is zero", () => {
    expect([...solve(Float64Array.of(0, 1, 1, 0), Float64Array.of(3, 4), 2)!]).toEqual([4, 3]);
  });

  test("reports a singular matrix instead of dividing by zero", () => {
    expect(solve(Float64Array.of(1, 2, 2, 4), Float64Array.of(1, 1), 2)).toBeUndefined();
  });

  test("leaves its arguments alone and takes order 0", () => {
    const before = [...a];
    solve(a, identity(3), 3);
    expect([...a]).toEqual(before);
    expect(solve(new Float64Array(0), new Float64Array(0), 0)).toEqual(new Float64Array(0));
    expect(expm(new Float64Array(0), 0)).toEqual(new Float64Array(0));
  });
});

describe("matrix exponential", () => {
  test.each(fixture.exponentials)("of $name matches mpmath (make-matrices.py)", ({ n, matrix, value }) => {
    expect(distance(expm(Float64Array.from(matrix), n), value, n)).toBeLessThan(1e-14);
  });

  test("of a generator keeps row sums at 1 and its inverse is that of the negative", () => {
    const rate = fc.double({ min: 0, max: 3, noNaN: true });
    fc.assert(
      fc.property(fc.array(rate, { minLength: 16, maxLength: 16 }), (rates) => {
        const q = Float64Array.from(rates, (value, index) => (index % 5 === 0 ? 0 : value));
        for (let i = 0; i < 4; i++) q[i * 4 + i] = -(q[i * 4]! + q[i * 4 + 1]! + q[i * 4 + 2]! + q[i * 4 + 3]!);
        const p = expm(q, 4);
        for (let i = 0; i < 4; i++) {
          const row = p.subarray(i * 4, i * 4 + 4);
          expect(Math.abs(row.reduce((sum, value) => sum + value, 0) - 1)).toBeLessThan(1e-13);
          expect(Math.min(...row)).toBeGreaterThan(-1e-14);
        }
        const half = expm(combine(0.5, q, 0, q), 4);
        expect(distance(multiply(half, half, 4), [...p], 4)).toBeLessThan(1e-13);
      }),
    );
  });

  test("refuses entries that are missing or not finite", () => {
    expect(() => expm(new Float64Array(3), 2)).toThrow("needs 4 entries");
    expect(() => expm(Float64Array.of(Number.NaN), 1)).toThrow("not finite");
  });
});

describe("matrix logarithm", () => {
  test.each(fixture.logarithms)("of $name matches mpmath (make-matrices.py)", ({ n, matrix, value }) => {
    expect(distance(matrixLog(Float64Array.from(matrix), n)!, value, n)).toBeLessThan(1e-14);
  });

  test("is undefined where no real logarithm exists", () => {
    expect(matrixLog(Float64Array.of(0.5, 0.5, 0.5, 0.5), 2)).toBeUndefined(); // eigenvalue 0
    expect(matrixLog(Float64Array.of(0.2, 0.8, 0.8, 0.2), 2)).toBeUndefined(); // eigenvalue -0.6
    expect(matrixLog(Float64Array.of(0, 1, 0, 0, 0, 1, 1, 0, 0), 3)).toBeDefined(); // complex eigenvalues on the circle
  });
});
