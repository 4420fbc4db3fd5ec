import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { courseFamilies, type Scale } from "../../src/evidence/course-family.ts";
import { fitCourse } from "../../src/evidence/course-fit.ts";
import { choleskyFactor } from "../../src/numerics/copula.ts";

interface Case {
  readonly name: string;
  readonly family: string;
  readonly logStart: boolean;
  readonly times: readonly number[];
  readonly means: readonly number[];
  readonly errors: readonly number[];
  readonly rho: number;
  readonly given?: Readonly<Record<string, number>>;
  readonly estimates: Readonly<Record<string, number>>;
  readonly covariance: readonly number[];
  readonly squares: number;
}

const { cases } = JSON.parse(readFileSync(new URL("../fixtures/courses/courses.json", import.meta.url), "utf8")) as {
  readonly cases: readonly Case[];
};

/** The Cholesky factor of errors with the same correlation between any two points. */
function factorOf(errors: readonly number[], rho: number): Float64Array {
  const n = errors.length;
  const unit = Float64Array.from({ length: n * n }, (_, k) => (Math.floor(k / n) === k % n ? 1 : rho));
  return choleskyFactor(unit, n)!.map((value, k) => value * errors[Math.floor(k / n)]!);
}

function fitted(one: Case): NonNullable<ReturnType<typeof fitCourse>> {
  const family = courseFamilies[one.family]!;
  const scales: readonly Scale[] = one.logStart ? ["log", ...family.scales.slice(1)] : family.scales;
  const points = { times: one.times, means: one.means, factor: factorOf(one.errors, one.rho) };
  const fit = fitCourse(family, scales, points, new Map(Object.entries(one.given ?? {})));
  if (fit === undefined) throw new Error(`no fit of ${one.name}`);
  return fit;
}

describe("a course fitted to points agrees with nls of base R", () => {
  test.each(cases.map((one) => [one.name, one] as const))("%s: estimates, covariance and misfit to 1e-6", (_, one) => {
    const fit = fitted(one);
    const p = fit.names.length;
    expect(fit.names).toEqual(Object.keys(one.estimates));
    for (const [j, estimate] of Object.values(one.estimates).entries())
      expect(Math.abs(fit.mu[j]! - estimate)).toBeLessThan(1e-6 * Math.max(1, Math.abs(estimate)));
    for (const [k, covariance] of one.covariance.entries()) {
      const size = fit.sigma[Math.floor(k / p)]! * fit.sigma[k % p]!;
      expect(Math.abs(fit.correlation[k]! * size - covariance)).toBeLessThan(1e-6 * size);
    }
    expect(Math.abs(fit.squares - one.squares)).toBeLessThan(1e-6 * Math.max(1, one.squares));
  });

  test("there are some with each family, with a given start and with correlated points", () => {
    expect(new Set(cases.map(({ family }) => family))).toEqual(new Set(Object.keys(courseFamilies)));
    expect(cases.some(({ given, rho }) => given !== undefined && rho > 0)).toBe(true);
  });
});

const zero = courseFamilies["return to zero"]!;
const plateau = courseFamilies["return to a plateau"]!;

test("as many points as parameters are met exactly, with the errors carried over", () => {
  // closed form: rate = ln(y1/y2)/(t2 - t1); its variance by the delta method
  const points = { times: [0, 2], means: [10, 5], factor: factorOf([0.5, 0.4], 0) };
  const fit = fitCourse(zero, zero.scales, points, new Map())!;
  const rate = Math.log(2) / 2;
  expect(fit.mu[0]).toBeCloseTo(10, 10);
  expect(fit.mu[1]).toBeCloseTo(Math.log(rate), 10);
  const variance = ((0.5 / 10) ** 2 + (0.4 / 5) ** 2) / 4 / rate ** 2;
  expect(fit.sigma[1]).toBeCloseTo(Math.sqrt(variance), 10);
  expect([fit.spare, fit.squares < 1e-20]).toEqual([0, true]);
});

test("a scale changes the law of a parameter, not the curve", () => {
  const log = cases.find(({ name }) => name === "log_start")!;
  const natural = cases.find(({ name }) => name === "five_points")!;
  const [a, b] = [fitted(log), fitted(natural)];
  for (const [i, value] of a.fitted.entries()) expect(value).toBeCloseTo(b.fitted[i]!, 10);
  expect(Math.exp(a.mu[0]!)).toBeCloseTo(b.mu[0]!, 10);
});

test.each([
  ["points that rise, for a return to zero", zero, [0, 1, 2], [5, 6, 8]],
  ["points on a straight line, for a plateau", plateau, [0, 1, 2, 3], [4, 3, 2, 1]],
])("%s have no best fit inside the ranges", (_, family, times, means) => {
  const points = {
    times,
    means,
    factor: factorOf(
      times.map(() => 0.1),
      0,
    ),
  };
  expect(fitCourse(family, family.scales, points, new Map())).toBeUndefined();
});
