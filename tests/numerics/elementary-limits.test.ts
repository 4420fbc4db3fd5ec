import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { exp, expm1 } from "../../src/numerics/exp.ts";
import { log, log1p } from "../../src/numerics/log.ts";
import { pow } from "../../src/numerics/pow.ts";

const least = 5e-324;
const greatest = Number.MAX_VALUE;
const { EPSILON } = Number;

// Values without another source follow from ECMA-262 (Math.exp, expm1, log, log1p; Number::exponentiate) or IEEE 754.
describe("exp", () => {
  test.each([
    [Number.NaN, Number.NaN, "ECMA-262"],
    [0, 1, "ECMA-262"],
    [-0, 1, "ECMA-262"],
    [Infinity, Infinity, "ECMA-262"],
    [-Infinity, 0, "ECMA-262"],
    [least, 1, "nearest double"],
    [-least, 1, "nearest double"],
    [709.782712893384, 1.7976931348622732e308, "mpmath 1.3.0, the last argument below overflow"],
    [709.7827128933841, Infinity, "mpmath 1.3.0, above the greatest double"],
    [greatest, Infinity, "IEEE 754 overflow"],
    [-708.3964185322641, 2.2250738585072626e-308, "mpmath 1.3.0, about the least normal double"],
    [-745.1332191019411, least, "mpmath 1.3.0, just above half the least double"],
    [-745.1332191019412, 0, "mpmath 1.3.0, just below half the least double"],
    [-greatest, 0, "IEEE 754 underflow"],
    [1, Math.E, "Math.E"],
  ])("of %s is %s (%s)", (x, value) => {
    expect(exp(x)).toBe(value);
  });
});

describe("expm1", () => {
  test.each([
    [Number.NaN, Number.NaN],
    [0, 0],
    [-0, -0],
    [Infinity, Infinity],
    [-Infinity, -1],
    [least, least],
    [-least, -least],
    [2 ** -54, 2 ** -54],
    [-1e-300, -1e-300],
    [709.782712893384, 1.7976931348622732e308],
    [709.7827128933841, Infinity],
    [greatest, Infinity],
    [-40, -1],
    [-greatest, -1],
  ])("of %s is %s", (x, value) => {
    expect(expm1(x)).toBe(value);
  });
});

describe("log", () => {
  test.each([
    [Number.NaN, Number.NaN, "ECMA-262"],
    [0, -Infinity, "ECMA-262"],
    [-0, -Infinity, "ECMA-262"],
    [-least, Number.NaN, "ECMA-262"],
    [-Infinity, Number.NaN, "ECMA-262"],
    [Infinity, Infinity, "ECMA-262"],
    [1, 0, "ECMA-262"],
    [least, -744.4400719213812, "mpmath 1.3.0"],
    [2 ** -1022, -708.3964185322641, "mpmath 1.3.0"],
    [greatest, 709.782712893384, "mpmath 1.3.0"],
    [1 + EPSILON, EPSILON - EPSILON ** 2 / 2, "first terms of the series"],
    [1 - EPSILON / 2, -EPSILON / 2, "first term of the series"],
    [2, Math.LN2, "Math.LN2"],
    [10, Math.LN10, "Math.LN10"],
  ])("of %s is %s (%s)", (x, value) => {
    expect(log(x)).toBe(value);
  });
});

describe("log1p", () => {
  test.each([
    [Number.NaN, Number.NaN],
    [0, 0],
    [-0, -0],
    [-1, -Infinity],
    [-1 - EPSILON, Number.NaN],
    [-Infinity, Number.NaN],
    [Infinity, Infinity],
    [least, least],
    [-least, -least],
    [1e-300, 1e-300],
    [greatest, 709.782712893384],
    [1, Math.LN2],
    [-1 + EPSILON / 2, -36.7368005696771], // 53 ln 2
  ])("of %s is %s", (x, value) => {
    expect(log1p(x)).toBe(value);
  });
});

describe("pow", () => {
  const interesting = [
    0,
    1,
    2,
    3,
    0.5,
    1.5,
    7,
    1e5,
    1e300,
    greatest,
    1e-300,
    least,
    2 ** -1022,
    2 ** 52 + 0.5,
    2 ** 53,
  ];
  const signed = [...interesting, ...interesting.map((v) => -v), Infinity, -Infinity, Number.NaN, 2 ** 53 - 1, -1 / 3];

  // The platform's Math.pow obeys the same table of special cases; only results that must be exact are compared.
  test("has ECMAScript's special cases for every pair of edge values", () => {
    for (const x of signed) {
      for (const y of signed) {
        const value = pow(x, y);
        const platform = x ** y;
        const special = !Number.isFinite(platform) || platform === 0 || Math.abs(platform) === 1 || y === 1;
        if (special) expect(value, `pow(${x}, ${y})`).toBe(platform);
        else expect(Math.abs(value / platform - 1), `pow(${x}, ${y})`).toBeLessThan(1e-15);
      }
    }
  });

  test.each([
    [1, Number.NaN, Number.NaN, "ECMA-262; IEEE 754 has 1"],
    [1, Infinity, Number.NaN, "ECMA-262; IEEE 754 has 1"],
    [-1, -Infinity, Number.NaN, "ECMA-262; IEEE 754 has 1"],
    [Number.NaN, 0, 1, "ECMA-262"],
    [-8, 1 / 3, Number.NaN, "ECMA-262"],
    [-0, -3, -Infinity, "ECMA-262"],
    [-0, -2, Infinity, "ECMA-262"],
    [-Infinity, 3, -Infinity, "ECMA-262"],
    [-Infinity, -3, -0, "ECMA-262"],
    [-2, 3, -8, "arithmetic"],
    [-2, -1075, -0, "IEEE 754 underflow"],
    [2, -1074, least, "arithmetic"],
    [2, 1023, 2 ** 1023, "arithmetic"],
    [2, 1024, Infinity, "IEEE 754 overflow"],
    [1 + EPSILON, 2 ** 70, Infinity, "IEEE 754 overflow"],
    [1 - EPSILON, 2 ** 70, 0, "IEEE 754 underflow"],
    [1, greatest, 1, "arithmetic"],
    [10, 22, 1e22, "arithmetic"],
  ])("of %s and %s is %s (%s)", (x, y, value) => {
    expect(pow(x, y)).toBe(value);
  });

  test("gives whole powers exactly while they fit in 53 bits", () => {
    for (let base = 2; base <= 1000; base++) {
      let exact = base;
      for (let power = 1; exact <= 2 ** 53; power++, exact *= base) {
        expect(pow(base, power)).toBe(exact);
        expect(pow(-base, power)).toBe(power % 2 === 1 ? -exact : exact);
      }
    }
  });
});

describe("laws", () => {
  const doubles = fc.double({ noNaN: true });

  test("exp and log are monotone from one double to the next in the ranges where results are sparser", () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 700, noNaN: true }), (x) => {
        const next = x * (1 + 2 * EPSILON);
        expect(exp(next)).toBeGreaterThanOrEqual(exp(x));
        expect(log(next)).toBeGreaterThanOrEqual(log(x));
      }),
    );
  });

  test("log undoes exp to the rounding of exp's result", () => {
    fc.assert(
      fc.property(fc.double({ min: -700, max: 700, noNaN: true }), (x) => {
        expect(Math.abs(log(exp(x)) - x)).toBeLessThanOrEqual(EPSILON * Math.max(1, Math.abs(x)));
      }),
    );
  });

  test("no argument makes expm1 leave [-1, Infinity] or exp [0, Infinity]", () => {
    fc.assert(
      fc.property(doubles, (x) => {
        expect(expm1(x)).toBeGreaterThanOrEqual(-1);
        expect(exp(x)).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});
