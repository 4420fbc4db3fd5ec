/** Throws unless p lies in [0, 1]. Probabilities come from our own streams, so anything else is a bug. */
export function requireProbability(p: number): void {
  if (!(p >= 0 && p <= 1)) throw new Error(`not a probability: ${p}`);
}

/** Throws unless the number is finite. Evidence is checked before a law is built, so anything else is a bug. */
export function requireFinite(name: string, value: number): void {
  if (!Number.isFinite(value)) throw new Error(`${name} is not finite: ${value}`);
}

/** Throws unless the number is finite and not negative. */
export function requireNotNegative(name: string, value: number): void {
  if (!(value >= 0 && value < Infinity)) throw new Error(`${name} is negative or not finite: ${value}`);
}

/** Throws unless the number is finite and above 0. */
export function requirePositive(name: string, value: number): void {
  if (!(value > 0 && value < Infinity)) throw new Error(`${name} is not positive or not finite: ${value}`);
}
