import { exp, expm1 } from "../exp.ts";
import { log } from "../log.ts";
import type { IncompleteBeta } from "./incomplete-beta.ts";
import { smallShapeStart } from "./inverse-incomplete-gamma.ts";
import { logGammaOnePlus } from "./log-gamma.ts";
import { normalQuantile } from "./normal-quantile.ts";
import { ScoreTable } from "./score-table.ts";

/** Once a step changes ln F by less than this, the cubic error left behind is below rounding. */
const LAST_STEP = 5e-6;

/** Halley steps tried before plain Newton, which is slower but cannot fail here, takes over. */
const HALLEY_STEPS = 12;
const MOST_STEPS = 200;

/** Below this logarithm of x or 1 - x a power law holds to the last bit and its result may underflow. */
const POWER_LAW_BELOW = -650;

/** x and 1 - x, each with its own relative accuracy; written by `invertIncompleteBeta`. */
export interface UnitPair {
  x: number;
  y: number;
}

/**
 * Writes to `result` the x (and 1 - x) at which the lower regularised incomplete beta function is p.
 *
 * p and `upper` = 1 - p lie in (0, 1); the smaller tail decides. Steps are taken in ln(x / y) on the logarithm of that
 * tail, which is concave because the density of ln(x / y) is log-concave: Newton's method then converges from any start,
 * and Halley's, tried first, usually needs one to three evaluations. Result accurate to 2 epsilon or, where the law is
 * so wide that p cannot fix x so well, to a relative error of 3e-14 in the tail; an x or 1 - x below 1e-282 follows its
 * power law and may underflow to 0.
 * Source: the scheme of Gil, Segura, Temme, SIAM J. Sci. Comput. 34 (2012) A2965 (gamma; from memory), carried to beta.
 */
export function invertIncompleteBeta(
  beta: IncompleteBeta,
  shapeA: number,
  shapeB: number,
  p: number,
  upper: number,
  result: UnitPair,
): void {
  const lower = p <= upper;
  const side = lower ? 1 : -1;
  const target = log(lower ? p : upper);
  if (start(beta, shapeA, shapeB, p, upper, result)) return;
  let { x, y } = result;
  for (let step = 0; step < MOST_STEPS; step++) {
    const ratio = lower ? beta.belowRatio(x, y) : beta.aboveRatio(x, y);
    const newton = side * ratio * (target - beta.logKernel(x, y) - log(ratio));
    const slope = shapeA * y - shapeB * x;
    const bend = 1 + 0.5 * newton * (slope - side / ratio);
    const change = step < HALLEY_STEPS ? newton / Math.max(bend, 0.5) : newton;
    const growth = expm1(change);
    const divisor = 1 + x * growth;
    if (x < y) {
      x += (x * y * growth) / divisor;
      y = 1 - x;
    } else {
      y /= divisor;
      x = 1 - y;
    }
    if (Math.abs(change) < LAST_STEP * Math.min(ratio, 1, 1 / Math.abs(slope))) {
      result.x = x;
      result.y = y;
      return;
    }
  }
  throw new Error(`beta quantile did not converge: shapes ${shapeA} and ${shapeB}, p ${p}`);
}

/** The inverse as a table of ln(x / (1 - x)), of which x and 1 - x follow to a relative error of 1e-9. */
export function logitTable(beta: IncompleteBeta, shapeA: number, shapeB: number): ScoreTable {
  const pair = { x: 0, y: 0 };
  return new ScoreTable((p, upper) => {
    invertIncompleteBeta(beta, shapeA, shapeB, p, upper, pair);
    return log(pair.x) - log(pair.y);
  });
}

/** Writes a first guess; true when it is already the answer. */
function start(
  beta: IncompleteBeta,
  shapeA: number,
  shapeB: number,
  p: number,
  upper: number,
  result: UnitPair,
): boolean {
  const { expansion } = beta;
  if (expansion !== undefined) {
    const t = expansion.start(normalQuantile(p, upper));
    if (t <= expansion.reach && t >= -expansion.reach) {
      const total = shapeA + shapeB;
      const excess = expansion.excess(t);
      result.x = (shapeA / total) * (1 + (shapeB / total) * excess);
      result.y = (shapeB / total) * (1 - (shapeA / total) * excess);
      return false;
    }
  }
  if (p <= upper) return lowerStart(shapeA, shapeB, p, upper, beta.logLowerConstant, beta.logUpperConstant, result);
  const done = lowerStart(shapeB, shapeA, upper, p, beta.logUpperConstant, beta.logLowerConstant, result);
  const { x } = result;
  result.x = result.y;
  result.y = x;
  return done;
}

/**
 * First guess for p <= 1/2. In order: either tail's power law with its first correction, where that is small; with both
 * shapes under 1 the better of the two laws; otherwise the law of -ln(1 - x) for the smaller shape as a gamma law of
 * rate b + (a - 1) / 2 (Wise, Biometrika 37 (1950) 208-218, from memory).
 */
function lowerStart(
  a: number,
  b: number,
  p: number,
  upper: number,
  logLowerConstant: number,
  logUpperConstant: number,
  result: UnitPair,
): boolean {
  const rate = Math.max(a + b, 1);
  const logX = (log(p) + logLowerConstant) / a;
  if (logX < POWER_LAW_BELOW) return write(result, exp(logX), 1, true);
  const lowX = exp(logX);
  if (lowX * rate < 0.2 * (a + 1)) {
    const x = lowX * (1 + ((b - 1) * lowX) / (a + 1));
    return write(result, x, 1 - x, false);
  }
  const logY = (log(upper) + logUpperConstant) / b;
  if (logY < POWER_LAW_BELOW) return write(result, 1, exp(logY), true);
  const lowY = exp(logY);
  if (lowY * rate < 0.2 * (b + 1)) {
    const y = lowY * (1 + ((a - 1) * lowY) / (b + 1));
    return write(result, 1 - y, y, false);
  }
  if (a < 1 && b < 1) {
    const x = lowX < 0.5 ? lowX : Math.max(1 - lowY, 0.5);
    return write(result, x, 1 - x, false);
  }
  if (a <= b) {
    const score = a < 1 ? 0 : normalQuantile(p, upper);
    const decay = smallShapeStart(a, p, upper, score, logGammaOnePlus(a)) / (b + (a - 1) / 2);
    return write(result, -expm1(-decay), exp(-decay), false);
  }
  const score = b < 1 ? 0 : normalQuantile(upper, p);
  const decay = smallShapeStart(b, upper, p, score, logGammaOnePlus(b)) / (a + (b - 1) / 2);
  return write(result, exp(-decay), -expm1(-decay), false);
}

function write(result: UnitPair, x: number, y: number, done: boolean): boolean {
  result.x = x;
  result.y = y;
  return done;
}
