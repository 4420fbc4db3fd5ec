import { log, log1p } from "../log.ts";

const HALF_LOG_TWO_PI = 0.9189385332046728;

/** Stirling's series is used from here on; eight terms then leave 2e-18. */
const STIRLING_FROM = 10;

/** B(2k) / (2k (2k - 1)), k = 1 to 8. Source: Abramowitz and Stegun (1964) 6.1.41. */
const STIRLING = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156, -3617 / 122400] as const;

/** 1 - Euler's constant, then (-1)^k (zeta(k) - 1) / k, k = 2 to 29. Source: Abramowitz and Stegun (1964) 6.1.33. */
const AROUND_TWO = [
  0.42278433509846713, 0.3224670334241132, -0.0673523010531981, 0.020580808427784546, -0.007385551028673986,
  0.0028905103307415234, -0.001192753911703261, 0.0005096695247430425, -0.00022315475845357939, 9.945751278180853e-5,
  -4.492623673813314e-5, 2.050721277567069e-5, -9.439488275268397e-6, 4.374866789907488e-6, -2.039215753801366e-6,
  9.55141213040742e-7, -4.492469198764566e-7, 2.1207184805554665e-7, -1.0043224823968099e-7, 4.7698101693639804e-8,
  -2.2711094608943164e-8, 1.0838659214896955e-8, -5.183475041970047e-9, 2.4836745438024785e-9, -1.1921401405860912e-9,
  5.731367241678862e-10, -2.7595228851242334e-10, 1.330476437424449e-10, -6.4229645638381e-11,
] as const;

/** ln Gamma(2 + z) for |z| <= 0.5. */
function aroundTwo(z: number): number {
  let sum = 0;
  for (let k = AROUND_TWO.length - 1; k >= 0; k--) sum = sum * z + AROUND_TWO[k]!;
  return sum * z;
}

/** Stirling's series for x >= STIRLING_FROM. */
function stirlingSeries(x: number): number {
  const r = 1 / x;
  const t = r * r;
  let sum = 0;
  for (let k = STIRLING.length - 1; k >= 0; k--) sum = sum * t + STIRLING[k]!;
  return sum * r;
}

/**
 * ln Gamma(x) for x > 0; absolute error a few epsilon times the larger of 1 and the value, and relative accuracy near
 * the zeros at 1 and 2.
 *
 * Source: Abramowitz and Stegun (1964) 6.1.33 near 1 and 2, 6.1.15 (recurrence) between, 6.1.41 (Stirling) from 10.
 * @example logGamma(5) // 3.1780538303479458
 */
export function logGamma(x: number): number {
  if (x >= STIRLING_FROM) return (x - 0.5) * log(x) - x + HALF_LOG_TWO_PI + stirlingSeries(x);
  if (x < 0.5) return aroundTwo(x) - log1p(x) - log(x);
  if (x < 1.5) return aroundTwo(x - 1) - log1p(x - 1);
  let product = 1;
  let y = x;
  while (y > 2.5) {
    y -= 1;
    product *= y;
  }
  return aroundTwo(y - 2) + log(product);
}

/** ln Gamma(1 + x) for x > -0.5 with relative accuracy also near its zeros at 0 and 1. */
export function logGammaOnePlus(x: number): number {
  if (x < 0.5) return aroundTwo(x) - log1p(x);
  return x < 1.5 ? aroundTwo(x - 1) : logGamma(1 + x);
}

/**
 * What Stirling's formula lacks: ln Gamma(x) - ((x - 1/2) ln x - x + ln(2 pi) / 2), for x > 0; about 1 / (12 x).
 *
 * Absolute error below 2e-15, and relative accuracy for x >= 1.
 * Source: series as in `logGamma`; from 1 to 10 the recurrence, whose step (x + 1/2) ln(1 + 1/x) - 1 is summed as
 * r^2 / 3 + r^4 / 5 + ... with r = 1 / (2 x + 1), Abramowitz and Stegun (1964) 4.1.27.
 */
export function stirlingRemainder(x: number): number {
  if (x < 1) return logGamma(x) - ((x - 0.5) * log(x) - x + HALF_LOG_TWO_PI);
  let sum = 0;
  let y = x;
  while (y < STIRLING_FROM) {
    const r = 1 / (2 * y + 1);
    sum += oddReciprocals(r * r);
    y += 1;
  }
  return sum + stirlingSeries(y);
}

/** t / 3 + t^2 / 5 + ... for 0 <= t <= 1/9. */
function oddReciprocals(t: number): number {
  let sum = 1 / 35;
  for (let n = 33; n >= 3; n -= 2) sum = sum * t + 1 / n;
  return sum * t;
}

/**
 * ln Gamma(base + step) - ln Gamma(base) for base > 0, step >= 0, where the two logarithms may cancel: error a few
 * epsilon times the terms summed, each proportional to the step, plus 3e-18.
 *
 * Both are raised above 10 by the recurrence, where the difference of Stirling's formulas is written in terms
 * proportional to the step.
 * Source: own rearrangement of Abramowitz and Stegun (1964) 6.1.41; compare Didonato and Morris, ACM TOMS 18 (1992),
 * section on ln Gamma(b) - ln Gamma(a + b).
 */
export function logGammaIncrement(base: number, step: number): number {
  let b = base;
  let rise = 0;
  while (b < STIRLING_FROM) {
    const t = step / b;
    rise += t + rise * t;
    b += 1;
  }
  const stirling =
    (b - 0.5) * log1p(step / b) - step + step * log(b + step) + (stirlingSeries(b + step) - stirlingSeries(b));
  return rise === 0 ? stirling : stirling - log1p(rise);
}
