import { log } from "../log.ts";

// The constants of PPND16 in Wichura's algorithm AS 241, numerators and denominators by ascending powers.
const CENTRE_TOP = [
  3.387132872796366608, 133.14166789178437745, 1971.5909503065514427, 13731.693765509461125, 45921.953931549871457,
  67265.770927008700853, 33430.575583588128105, 2509.0809287301226727,
] as const;
const CENTRE_BOTTOM = [
  1, 42.313330701600911252, 687.1870074920579083, 5394.1960214247511077, 21213.794301586595867, 39307.89580009271061,
  28729.085735721942674, 5226.495278852854561,
] as const;
const MIDDLE_TOP = [
  1.42343711074968357734, 4.6303378461565452959, 5.7694972214606914055, 3.64784832476320460504, 1.27045825245236838258,
  0.24178072517745061177, 0.0227238449892691845833, 7.7454501427834140764e-4,
] as const;
const MIDDLE_BOTTOM = [
  1, 2.05319162663775882187, 1.6763848301838038494, 0.68976733498510000455, 0.14810397642748007459,
  0.0151986665636164571966, 5.475938084995344946e-4, 1.05075007164441684324e-9,
] as const;
const FAR_TOP = [
  6.6579046435011037772, 5.4637849111641143699, 1.7848265399172913358, 0.29656057182850489123, 0.026532189526576123093,
  0.0012426609473880784386, 2.71155556874348757815e-5, 2.01033439929228813265e-7,
] as const;
const FAR_BOTTOM = [
  1, 0.59983220655588793769, 0.1369298809227358053, 0.0148753612908506148525, 7.868691311456132591e-4,
  1.8463183175100546818e-5, 1.4215117583164458887e-7, 2.04426310338993978564e-15,
] as const;

function polynomial(c: readonly number[], x: number): number {
  return ((((((c[7]! * x + c[6]!) * x + c[5]!) * x + c[4]!) * x + c[3]!) * x + c[2]!) * x + c[1]!) * x + c[0]!;
}

/**
 * Standard normal score below which the probability is p.
 *
 * p and `upper` = 1 - p lie in [0, 1]; give `upper` when the upper tail is known more exactly than 1 - p can say.
 * 0 gives -Infinity, 1 gives Infinity, anything outside or not a number NaN. Largest relative error measured against
 * 40 digits, down to p = 1e-300: 6.5e-16, the level of the normal tail itself, so a refining step would gain nothing.
 * Source: Wichura, AS 241 (PPND16), Applied Statistics 37 (1988) 477-484; constants from memory, held by that test.
 * @example normalQuantile(0.975) // 1.959963984540054
 */
export function normalQuantile(p: number, upper: number = 1 - p): number {
  const q = p < upper ? p - 0.5 : 0.5 - upper;
  if (q < 0.425 && q > -0.425) {
    const r = 0.180625 - q * q;
    return (q * polynomial(CENTRE_TOP, r)) / polynomial(CENTRE_BOTTOM, r);
  }
  const tail = p < upper ? p : upper;
  if (!(tail > 0)) return tail === 0 ? (p < upper ? -Infinity : Infinity) : NaN;
  const r = Math.sqrt(-log(tail));
  const z =
    r <= 5
      ? polynomial(MIDDLE_TOP, r - 1.6) / polynomial(MIDDLE_BOTTOM, r - 1.6)
      : polynomial(FAR_TOP, r - 5) / polynomial(FAR_BOTTOM, r - 5);
  return p < upper ? -z : z;
}
