import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { beta } from "../../../src/numerics/distributions/beta.ts";
import { dirichlet } from "../../../src/numerics/distributions/dirichlet.ts";
import type { Distribution } from "../../../src/numerics/distributions/distribution.ts";
import { gamma } from "../../../src/numerics/distributions/gamma.ts";
import { logNormal } from "../../../src/numerics/distributions/log-normal.ts";
import { logitNormal } from "../../../src/numerics/distributions/logit-normal.ts";
import { normal } from "../../../src/numerics/distributions/normal.ts";
import { point } from "../../../src/numerics/distributions/point.ts";
import { quantileMoments } from "../../../src/numerics/distributions/quantile-moments.ts";
import { reflected } from "../../../src/numerics/distributions/reflected.ts";
import { studentT } from "../../../src/numerics/distributions/student-t.ts";
import { massBetween, truncated } from "../../../src/numerics/distributions/truncated.ts";
import { uniform } from "../../../src/numerics/distributions/uniform.ts";
import { normalBelow, normalDensity } from "../../../src/numerics/special/normal-tail.ts";
import { expectClose } from "../../close.ts";

const laws: readonly (readonly [string, Distribution])[] = [
  ["normal", normal(-2, 3)],
  ["uniform", uniform(-1, 4)],
  ["log-normal", logNormal(4.4936, 0.47238)],
  ["logit-normal", logitNormal(-1, 0.8)],
  ["gamma", gamma(12.67, 417.67)],
  ["gamma of small shape", gamma(0.3, 2)],
  ["beta", beta(119.6, 21.1)],
  ["beta of small shapes", beta(0.5, 0.2)],
  ["Student t", studentT(9, 5, 2)],
  ["truncated normal", truncated(normal(0, 1), -0.5, 2)],
  ["truncated gamma", truncated(gamma(2, 3), 1, Infinity)],
  ["one minus gamma", reflected(gamma(2, 0.1), 1)],
];

describe.each(laws)("%s", (_, law) => {
  test("the distribution function undoes the quantile function, in both tails", () => {
    for (const p of [1e-9, 1e-4, 0.02, 0.3, 0.5, 0.7, 0.98, 1 - 1e-4]) {
      const x = law.quantile(p);
      // within half an ulp of an end that is not 0 the value is the end
      if (x === law.highest) continue;
      // a value next to an end that is not 0 is known to an ulp only, and its tail no better
      const tolerance = p > 0.1 && p < 0.9 ? 1e-12 : 1e-6;
      expectClose([law.below(x), law.above(x)], [p, 1 - p], tolerance);
    }
  });

  test("quantiles rise, stay within the ends and reach them at 0 and 1", () => {
    expect([law.quantile(0), law.quantile(1)]).toEqual([law.lowest, law.highest]);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (p, q) => {
        const [low, high] = [law.quantile(Math.min(p, q)), law.quantile(Math.max(p, q))];
        // one rounding apart they may swap
        return low <= high + 4 * Number.EPSILON * Math.abs(high) && low >= law.lowest && high <= law.highest;
      }),
    );
  });

  test("mean and variance are those of the quantile function", () => {
    const numeric = quantileMoments(law.quantile);
    expectClose([law.mean, law.variance], [numeric.mean, numeric.variance], 1e-11);
  });

  test("what is not a probability is refused", () => {
    for (const p of [-1e-9, 1.0001, Number.NaN]) expect(() => law.quantile(p)).toThrow("not a probability");
  });

  test("below and above are 0 and 1 beyond the ends", () => {
    expect([law.below(law.lowest - 1), law.above(law.lowest - 1)]).toEqual([0, 1]);
    expect([law.below(law.highest + 1), law.above(law.highest + 1)]).toEqual([1, 0]);
  });
});

test.each([
  ["normal", normal(3, 0), 3],
  ["uniform", uniform(3, 3), 3],
  ["log-normal", logNormal(0, 0), 1],
  ["logit-normal", logitNormal(0, 0), 0.5],
  ["gamma", gamma(0, 2), 0],
  ["gamma", gamma(2, 0), 0],
  ["beta", beta(0, 2), 0],
  ["beta", beta(2, 0), 1],
  ["Student t", studentT(3, 7, 0), 7],
  ["truncated normal", truncated(normal(3, 0), 3, 4), 3],
  ["1 - point", reflected(point(3), 1), -2],
])("a %s law without spread is a point", (family, law, value) => {
  expect(law.family).toBe(family);
  expect([law.mean, law.variance, law.quantile(0.1), law.quantile(0.9)]).toEqual([value, 0, value, value]);
  expect([law.below(value - 1e-9), law.below(value), law.above(value - 1e-9), law.above(value)]).toEqual([0, 1, 1, 0]);
});

test("parameters that make no law are refused", () => {
  expect(() => normal(0, -1)).toThrow("sd");
  expect(() => normal(Number.NaN, 1)).toThrow("mean");
  expect(() => uniform(2, 1)).toThrow("low 2");
  expect(() => gamma(-1, 1)).toThrow("shape");
  expect(() => beta(0, 0)).toThrow("both shapes 0");
  expect(() => studentT(0)).toThrow("df");
  expect(() => truncated(uniform(0, 1), 2, 3)).toThrow("no mass");
  expect(() => dirichlet([0, 0])).toThrow("no alpha");
});

describe("a truncated law", () => {
  test("removes the mass outside the interval", () => {
    expectClose(truncated(normal(0, 1), -1.96, 1.96).removed, 2 * normalBelow(-1.96), 1e-15);
    expectClose(truncated(gamma(1, 1), 3, Infinity).removed, 1 - Math.exp(-3), 1e-15);
    expect(massBetween(uniform(0, 4), 1, 2)).toBe(0.25);
  });

  // Johnson, Kotz, Balakrishnan, Continuous Univariate Distributions 1 (1994) 13.134 and 13.135, from memory
  test.each([
    [0, 3],
    [-1, 0.5],
    [2, 5],
    [5, 9],
    [-8, -6],
  ])("of the normal has the closed mean and variance between %d and %d", (a, b) => {
    const law = truncated(normal(0, 1), a, b);
    const mass = massBetween(normal(0, 1), a, b);
    const m = (normalDensity(a) - normalDensity(b)) / mass;
    const v = 1 + (a * normalDensity(a) - b * normalDensity(b)) / mass - m * m;
    expectClose(law.mean, m, 1e-12);
    expectClose(law.variance, v, 1e-11);
  });

  test("far out in the upper tail keeps its digits: an exponential has no memory", () => {
    const law = truncated(gamma(1, 1), 50, Infinity);
    for (const p of [0.01, 0.5, 0.99]) expectClose(law.quantile(p), 50 + gamma(1, 1).quantile(p), 4e-16);
    expectClose(law.mean, 51);
  });

  test("keeps its draws where little is removed", () => {
    const whole = beta(20, 5);
    const law = truncated(whole, 0.4, 1);
    expectClose(law.quantile(0.7), whole.quantile(0.7), 1e-4);
  });
});

describe("a Dirichlet law", () => {
  // from memory: Briggs, Claxton, Sculpher, Decision Modelling for Health Economic Evaluation (OUP 2006), ch. 4
  test("of counts 1251, 350, 116, 17 has the published means and standard deviations", () => {
    const law = dirichlet([1251, 350, 116, 17]);
    expectClose(law.means, [0.72145329, 0.20184544, 0.06689735, 0.00980392], 1e-6);
    expectClose(law.sds, [0.01076226, 0.00963614, 0.00599818, 0.00236543], 2e-6);
    law.means.forEach((mean, i) => {
      expectClose(law.marginal(i).mean, mean, 1e-15);
      expectClose(Math.sqrt(law.marginal(i).variance), law.sds[i]!, 1e-14);
    });
  });

  test("gives shares that sum to 1, zeros where alpha is 0, whatever the uniforms of those cells", () => {
    const law = dirichlet([2, 0, 0.5, 3, 0]);
    const [shares, others] = [new Float64Array(5), new Float64Array(5)];
    const u = fc.double({ min: 2 ** -53, max: 1 - 2 ** -53, noNaN: true });
    fc.assert(
      fc.property(u, u, (first, third) => {
        law.shares([first, 0.1, third, 0.2], shares);
        law.shares([first, 0.9, third, 0.8], others);
        expect([...others]).toEqual([...shares]);
        expect([shares[1], shares[4]]).toEqual([0, 0]);
        expect(Math.abs(shares[0]! + shares[2]! + shares[3]! - 1)).toBeLessThanOrEqual(4 * Number.EPSILON);
      }),
    );
  });

  test("of two cells is a beta law, and of one cell is 1", () => {
    const shares = new Float64Array(2);
    dirichlet([3, 4]).shares([0.3], shares);
    expect(shares[0]).toBe(beta(3, 4).draw!(0.3));
    dirichlet([0, 4]).shares([0.3], shares);
    expect([...shares]).toEqual([0, 1]);
  });
});
