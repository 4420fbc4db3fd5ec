import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { logitNormal } from "../../../src/numerics/distributions/logit-normal.ts";
import { incompleteBeta } from "../../../src/numerics/special/incomplete-beta.ts";
import { incompleteGamma } from "../../../src/numerics/special/incomplete-gamma.ts";
import { logDeviance } from "../../../src/numerics/special/log-deviance.ts";
import {
  logGamma,
  logGammaIncrement,
  logGammaOnePlus,
  stirlingRemainder,
} from "../../../src/numerics/special/log-gamma.ts";
import { logistic, logit } from "../../../src/numerics/special/logit.ts";
import { normalQuantile } from "../../../src/numerics/special/normal-quantile.ts";
import { normalAbove, normalBelow } from "../../../src/numerics/special/normal-tail.ts";
import { smallSine } from "../../../src/numerics/special/sine.ts";

const path = new URL("../../fixtures/distributions/special.json", import.meta.url);
const fixture: Readonly<Record<string, readonly (readonly number[])[]>> = JSON.parse(readFileSync(path, "utf8"));
const { EPSILON } = Number;

/** Rows of a fixture: arguments, then as many exact values as the function gives; relative and absolute bounds. */
function agree(name: string, f: (...x: number[]) => number | readonly number[], relative: number, absolute = 0): void {
  for (const row of fixture[name]!) {
    const count = [f(...row)].flat().length;
    const exact = row.slice(-count);
    for (const [i, value] of [f(...row.slice(0, row.length - count))].flat().entries()) {
      const bound = relative * Math.abs(exact[i]!) + absolute;
      expect(Math.abs(value - exact[i]!), `${name} of ${row}: ${value}`).toBeLessThanOrEqual(bound);
    }
  }
}

test("ln Gamma is within 4 epsilon, relative also near its zeros at 1 and 2", () => {
  agree("logGamma", logGamma, 4 * EPSILON);
  agree("logGammaOnePlus", logGammaOnePlus, 4 * EPSILON);
});

test("the remainder of Stirling's formula is within 2e-15", () => {
  agree("stirlingRemainder", stirlingRemainder, 0, 2e-15);
});

test("increments of ln Gamma do not lose small steps", () => {
  agree("logGammaIncrement", logGammaIncrement, 1e-14, 3e-18);
});

test("e - ln(1 + e) is within 6 epsilon on both sides of its series", () => {
  agree("logDeviance", (e) => logDeviance(e), 6 * EPSILON);
});

test("both normal tails are within 4 epsilon out to 38 standard deviations", () => {
  agree("normal", (z) => [normalBelow(z), normalAbove(z)], 4 * EPSILON);
});

test("incomplete gamma functions keep both tails to 2e-14", () => {
  agree("gamma", (a, x) => [incompleteGamma(a!).below(x!), incompleteGamma(a!).above(x!)], 2e-14);
});

test("incomplete beta functions keep both tails to 2e-14", () => {
  agree(
    "beta",
    (a, b, x) => [incompleteBeta(a!, b!).below(x!, 1 - x!), incompleteBeta(a!, b!).above(x!, 1 - x!)],
    2e-14,
  );
});

test("mean and variance of logit-normal laws are within 1e-13", () => {
  agree("logitNormal", (mu, sigma) => [logitNormal(mu!, sigma!).mean, logitNormal(mu!, sigma!).variance], 1e-13);
});

test("normal quantiles are infinite at 0 and 1, odd about a half, and not numbers elsewhere", () => {
  expect(normalQuantile(0)).toBe(-Infinity);
  expect(normalQuantile(1)).toBe(Infinity);
  expect(normalQuantile(0.5)).toBe(0);
  for (const p of [0.001, 0.06, 0.2, 0.4999]) expect(normalQuantile(1 - p, p)).toBe(-normalQuantile(p, 1 - p));
  expect(normalQuantile(-0.1)).toBeNaN();
  expect(normalQuantile(1.1)).toBeNaN();
  expect(normalQuantile(Number.NaN)).toBeNaN();
});

test("logit and logistic undo each other, and hold at the ends", () => {
  for (const p of [1e-300, 1e-9, 0.2, 0.5, 0.75]) expect(Math.abs(logistic(logit(p)) / p - 1)).toBeLessThan(2e-13);
  expect([logit(0), logit(1), logistic(-Infinity), logistic(Infinity)]).toEqual([-Infinity, Infinity, 0, 1]);
});

test("sine is within an ulp of sin 30 degrees = 1/2 and of the platform's, and throws beyond", () => {
  expect(Math.abs(smallSine(Math.PI / 6) - 0.5)).toBeLessThanOrEqual(EPSILON / 2);
  for (let x = -0.5; x <= 0.5; x += 0.0625) {
    expect(Math.abs(smallSine(x) - Math.sin(x))).toBeLessThanOrEqual(EPSILON * Math.abs(x));
  }
  expect(() => smallSine(1)).toThrow("sine of 1");
});
