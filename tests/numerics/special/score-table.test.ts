import { describe, expect, test } from "vitest";
import { beta } from "../../../src/numerics/distributions/beta.ts";
import { dirichlet } from "../../../src/numerics/distributions/dirichlet.ts";
import type { Distribution } from "../../../src/numerics/distributions/distribution.ts";
import { gamma } from "../../../src/numerics/distributions/gamma.ts";
import { reflected } from "../../../src/numerics/distributions/reflected.ts";
import { truncated } from "../../../src/numerics/distributions/truncated.ts";
import { exp } from "../../../src/numerics/exp.ts";
import { centred, keyedGenerator } from "../../../src/numerics/random-stream.ts";
import { ScoreTable } from "../../../src/numerics/special/score-table.ts";

// Draws against the exact quantiles, which other tests hold against base R and high precision.

/** Random uniforms, and the ends of what random streams give. */
function uniforms(count: number): readonly number[] {
  const next = keyedGenerator("tables", "uniforms");
  const ends = [1, 3, 1000, 1e6, 1e9, 1e12].map((steps) => (steps - 0.5) * 2 ** -52);
  return [...Array.from({ length: count }, () => centred(next())), ...ends, ...ends.map((u) => 1 - u)];
}

const shapes = [0.01, 0.03, 0.1, 0.3, 0.7, 1, 1.5, 2, 3.7, 8, 20, 21, 92, 400, 1e4, 1e6];

/** The largest relative error of draws; of values so small that they have no full precision none is asked. */
function worst({ draw, quantile }: Distribution, list: readonly number[]): number {
  return Math.max(
    ...list.map((u) => {
      const [found, exact] = [draw!(u), quantile(u)];
      return Math.abs(exact) < 1e-290 ? Math.abs(found - exact) : Math.abs(found / exact - 1);
    }),
  );
}

describe("draws have a relative error of at most 1e-9", () => {
  const list = uniforms(2000);

  test.each(shapes)("gamma of shape %d", (shape) => {
    expect(worst(gamma(shape, 3.5), list)).toBeLessThan(1e-9);
  });

  test.each(shapes)("beta, one shape %d", (shape) => {
    for (const other of shapes) {
      expect(worst(beta(shape, other), list.slice(-500)), `beta(${shape}, ${other})`).toBeLessThan(1e-9);
    }
  });

  test("beta, of the other side too", () => {
    for (const a of shapes) {
      const [one, other] = [beta(a, 2.5), beta(2.5, a)];
      for (const u of list.slice(-300)) {
        const [x, y] = [one.draw!(u), other.draw!(1 - u)];
        // 1 - x holds no more than 1e-16
        expect(Math.abs(1 - x - y)).toBeLessThan(1e-9 * y + 3e-16);
      }
    }
  });

  test("cut laws and reflected ones, of the distance to the turning point", () => {
    const cut = truncated(gamma(3, 2), 1, 9);
    expect(worst(cut, list)).toBeLessThan(1e-9);
    expect(Math.min(...list.map((u) => cut.draw!(u)))).toBeGreaterThanOrEqual(1);
    const turned = reflected(gamma(3, 0.1), 1);
    for (const u of list)
      expect(Math.abs(turned.draw!(u) - turned.quantile(u))).toBeLessThanOrEqual(1e-9 * (1 - turned.quantile(u)));
  });

  test("pieces of a Dirichlet vector", () => {
    const alphas = [0.3, 12, 0, 4, 700];
    const { shares } = dirichlet(alphas);
    const pieces = [beta(0.3, 716), beta(12, 704), null, beta(4, 700)];
    const found = new Float64Array(5);
    for (let k = 0; k + 4 < 400; k += 4) {
      const u = list.slice(k, k + 4);
      shares(u, found);
      let left = 1;
      for (const [i, piece] of pieces.entries()) {
        const expected = piece === null ? 0 : left * piece.quantile(u[i]!);
        expect(Math.abs(found[i]! - expected)).toBeLessThanOrEqual(4e-9 * expected);
        left -= expected;
      }
      expect(found[4]!).toBeGreaterThan(0);
    }
  });
});

test("ends of the range are those of the law", () => {
  for (const law of [gamma(0.4, 2), gamma(30, 2), beta(0.4, 3)]) {
    expect(law.draw!(0)).toBe(law.lowest);
    expect(law.draw!(1)).toBe(law.highest);
    expect(() => law.draw!(1.5)).toThrow("probability");
  }
});

test("a draw does not depend on what was drawn before", () => {
  const list = uniforms(300);
  for (const make of [() => gamma(0.2, 1), () => beta(0.6, 14), () => gamma(55, 1)]) {
    const forward = make();
    const backward = make();
    const expected = [...list].reverse().map((u) => backward.draw!(u));
    expect(list.map((u) => forward.draw!(u))).toEqual(expected.reverse());
  }
});

describe("a table", () => {
  test("asks the exact function a few hundred times for any number of values", () => {
    let calls = 0;
    const table = new ScoreTable((p) => {
      calls += 1;
      return exp(p);
    });
    for (const u of uniforms(20_000)) expect(Math.abs(table.at(u, 1 - u) - exp(u))).toBeLessThan(1e-9);
    expect(calls).toBeLessThan(1000);
  });

  test("gives the exact function itself where it is too steep or not finite", () => {
    const steep = new ScoreTable((p) => (p < 0.3 ? 1 : 2));
    const wild = new ScoreTable((p) => (p > 0.9 ? Infinity : 7));
    for (const u of uniforms(1000)) {
      expect(steep.at(u, 1 - u)).toBeCloseTo(u < 0.3 ? 1 : 2, 9);
      const found = wild.at(u, 1 - u);
      if (u > 0.9) expect(found).toBe(Infinity);
      else expect(found).toBeCloseTo(7, 9);
    }
  });

  test("asks where the score is beyond its reach", () => {
    expect(new ScoreTable((p) => p).at(1e-40, 1)).toBe(1e-40);
  });
});
