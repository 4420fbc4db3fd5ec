/** Exponents of money, time, length, mass, quality-adjusted life years and pieces. */
export type Dimension = readonly [
  money: number,
  time: number,
  length: number,
  mass: number,
  qaly: number,
  piece: number,
];

const labels = ["money", "year", "m", "kg", "QALY", "piece"] as const;

/** The dimension of a bare number. */
export const none: Dimension = [0, 0, 0, 0, 0, 0];
/** Money. */
export const money: Dimension = [1, 0, 0, 0, 0, 0];
/** Time. */
export const time: Dimension = [0, 1, 0, 0, 0, 0];
/** Length. */
export const length: Dimension = [0, 0, 1, 0, 0, 0];
/** Mass. */
export const mass: Dimension = [0, 0, 0, 1, 0, 0];
/** Quality-adjusted life years. */
export const qaly: Dimension = [0, 0, 0, 0, 1, 0];
/** Quality of life: what a year lived is worth. */
export const utility: Dimension = [0, -1, 0, 0, 1, 0];
/** Pieces, cases, visits. */
export const piece: Dimension = [0, 0, 0, 0, 0, 1];
/** A number per time. */
export const perTime: Dimension = [0, -1, 0, 0, 0, 0];

/** `a` times `b` to the `power`: exponents added. */
export function combined(a: Dimension, b: Dimension, power = 1): Dimension {
  return a.map((exponent, i) => exponent + power * b[i]!) as unknown as Dimension;
}

/** `a` to the `power`. */
export function raised(a: Dimension, power: number): Dimension {
  return combined(none, a, power);
}

/** True where all exponents agree. */
export function sameDimension(a: Dimension, b: Dimension): boolean {
  return a.every((exponent, i) => Math.abs(exponent - b[i]!) < 1e-9);
}

/** True for a bare number. */
export function isNone(a: Dimension): boolean {
  return sameDimension(a, none);
}

/**
 * The dimension in words.
 * @example dimensionText([1, -1, 0, 0, 0, 0]) // "money/year"
 */
export function dimensionText(a: Dimension): string {
  const part = (sign: number): string[] =>
    labels.flatMap((label, i) => {
      const exponent = a[i]! * sign;
      if (!(exponent > 1e-9)) return [];
      return [Math.abs(exponent - 1) < 1e-9 ? label : `${label}^${exponent}`];
    });
  const above = part(1).join(" ");
  const below = part(-1).join("/");
  if (above === "" && below === "") return "a bare number";
  return below === "" ? above : `${above === "" ? "1" : above}/${below}`;
}
