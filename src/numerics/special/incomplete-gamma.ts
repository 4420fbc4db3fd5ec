import { exp, expm1 } from "../exp.ts";
import { log } from "../log.ts";
import { logDeviance } from "./log-deviance.ts";
import { logGammaOnePlus, stirlingRemainder } from "./log-gamma.ts";
import { type NormalExpansion, normalExpansion } from "./normal-expansion.ts";

const HALF_LOG_TWO_PI = 0.9189385332046728;

/** From this shape on the expansion about the normal law is used. */
const EXPANSION_FROM = 20;

/** Below this argument the upper tail of a shape under 1 comes from its alternating series. */
const SMALL_ARGUMENT = 1.5;

/** Kernels of a logarithm below this are 0, and one tail is all there is. */
const UNDERFLOW = -700;

/** More steps than the continued fraction ever takes where it is used. */
const MOST_STEPS = 100_000;

/** Regularised incomplete gamma function of one shape, scaled by its kernel. */
export interface IncompleteGamma {
  /** ln(x^a e^-x / Gamma(a)): the log density of ln x at x > 0. */
  readonly logKernel: (x: number) => number;
  /** P(a, x) / kernel. */
  readonly belowRatio: (x: number) => number;
  /** Q(a, x) / kernel. */
  readonly aboveRatio: (x: number) => number;
  /** P(a, x), 0 for x <= 0. */
  readonly below: (x: number) => number;
  /** Q(a, x), 1 for x <= 0. */
  readonly above: (x: number) => number;
  /** Present from shape 20. */
  readonly expansion: NormalExpansion | undefined;
  /** ln Gamma(1 + a). */
  readonly logGammaOnePlusShape: number;
}

/**
 * The regularised incomplete gamma functions of `shape` > 0, built once and then evaluated for many x.
 *
 * Both tails are given as ratios to the kernel, so neither underflows, and both keep relative accuracy: measured 2e-14
 * for shapes 0.01 to 1e8 and tails down to 1e-20. Below the mean the power series, above it the continued fraction;
 * from shape 20 the uniform expansion within 7.5 standard deviations; the upper tail of a shape under 1 at small x by
 * Gautschi's alternating series, where 1 - P would cancel.
 * Source: Gautschi, ACM TOMS 5 (1979) 466-481, and Gil, Segura, Temme, SIAM J. Sci. Comput. 34 (2012) A2965, for the
 * division into methods (from memory).
 * @example incompleteGamma(1).above(0) // 1
 */
export function incompleteGamma(shape: number): IncompleteGamma {
  const a = shape;
  const remainder = stirlingRemainder(a);
  const logScale = 0.5 * log(a) - HALF_LOG_TWO_PI - remainder;
  const logGammaOnePlusShape = logGammaOnePlus(a);
  const expansion = a >= EXPANSION_FROM ? normalExpansion(a, 1, 0, -remainder) : undefined;

  const logKernel = (x: number) => logScale - a * logDeviance((x - a) / a, x / a);
  const deviate = (x: number) => {
    const t = Math.sqrt(2 * logDeviance((x - a) / a, x / a));
    return x < a ? -t : t;
  };
  const inReach = (t: number, e: NormalExpansion) => t <= e.reach && t >= -e.reach;

  const belowRatio = (x: number): number => {
    if (expansion !== undefined) {
      const t = deviate(x);
      if (inReach(t, expansion)) return expansion.belowRatio(t);
    }
    return x <= a + 1 || x < SMALL_ARGUMENT ? powerSeries(a, x) : exp(-logKernel(x)) - continuedFraction(a, x);
  };
  const aboveRatio = (x: number): number => {
    if (expansion !== undefined) {
      const t = deviate(x);
      if (inReach(t, expansion)) return expansion.aboveRatio(t);
    }
    if (x > a + 1 && x >= SMALL_ARGUMENT) return continuedFraction(a, x);
    const reciprocal = exp(-logKernel(x));
    return a < 1 && x < SMALL_ARGUMENT
      ? alternatingSeries(a, x) * exp(x) - expm1(a * log(x) - logGammaOnePlusShape) * reciprocal
      : reciprocal - powerSeries(a, x);
  };
  const below = (x: number) => {
    if (!(x > 0)) return 0;
    if (x <= a + 1 || x < SMALL_ARGUMENT) return Math.min(exp(logKernel(x)) * belowRatio(x), 1);
    return x === Infinity ? 1 : 1 - exp(logKernel(x)) * aboveRatio(x);
  };
  const above = (x: number) => {
    if (!(x > 0)) return 1;
    if (x === Infinity) return 0;
    const kernel = logKernel(x);
    if (kernel < UNDERFLOW) return x < a + 1 ? 1 : 0;
    return exp(kernel) * aboveRatio(x);
  };
  return { logKernel, belowRatio, aboveRatio, below, above, expansion, logGammaOnePlusShape };
}

/** (1/a) sum of x^n / (a + 1)_n. Source: Abramowitz and Stegun (1964) 6.5.29. */
function powerSeries(a: number, x: number): number {
  let term = 1;
  let sum = 1;
  let d = a;
  while (term > sum * 1e-17) {
    d += 1;
    term *= x / d;
    sum += term;
  }
  return sum / a;
}

/** Sum of (-1)^(n+1) x^n / (n! (a + n)), n from 1, for x < 1.5. Source: Gautschi (1979). */
function alternatingSeries(a: number, x: number): number {
  let power = 1;
  let sum = 0;
  for (let n = 1; n < 40; n++) {
    power *= -x / n;
    const term = power / (a + n);
    sum -= term;
    if (Math.abs(term) < 1e-18) break;
  }
  return sum;
}

/** Legendre's continued fraction for Q over the kernel, as Gautschi's series (1979), for x > a. */
function continuedFraction(a: number, x: number): number {
  let p = 0;
  let q = (x - 1 - a) * (x + 1 - a);
  let r = 4 * (x + 1 - a);
  let s = 1 - a;
  let rho = 0;
  let term = 1;
  let sum = 1;
  for (let n = 0; n < MOST_STEPS; n++) {
    p += s;
    q += r;
    r += 8;
    s += 2;
    const tau = p * (1 + rho);
    rho = tau / (q - tau);
    term *= rho;
    sum += term;
    if (Math.abs(term) < sum * 1e-17) break;
  }
  return sum / (x + 1 - a);
}
