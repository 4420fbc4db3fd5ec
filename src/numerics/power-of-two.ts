/** Smallest exponent held: 2^-1074 is the least positive double. */
const LEAST = -1074;

/** Entry m + 1074 is 2^m, from 2^-1074 to 2^1023. Doubling and halving by two are exact, so no entry is rounded. */
const POWERS = new Float64Array(2098);
for (let m = 0, value = 1; m <= 1023; m++, value *= 2) POWERS[m - LEAST] = value;
for (let m = 0, value = 1; m >= LEAST; m--, value *= 0.5) POWERS[m - LEAST] = value;

/**
 * 2 to an integer power, exactly.
 *
 * @param m - integer from -1074 to 1023; anything else gives `undefined` behaviour, so callers clamp first
 *
 * A table, because writing a double's halves one by one and reading it whole stalls the processor; an emitted kernel
 * shifts m + 1023 into the exponent instead, with the same result wherever 2^m is normal.
 */
export function powerOfTwo(m: number): number {
  return POWERS[m - LEAST]!;
}

const DOUBLE = new Float64Array(1);
const WORDS = new Int32Array(DOUBLE.buffer);
DOUBLE[0] = 1;
/** Where this machine keeps the high half of a double: 1.0 has all its set bits there. */
const HIGH = WORDS[0] === 0 ? 1 : 0;

/** The high 32 bits of a double as a signed integer: sign, exponent and the first 20 bits of the fraction. */
export function highWord(x: number): number {
  DOUBLE[0] = x;
  return WORDS[HIGH]!;
}

/** The low 32 bits of a double as a signed integer. */
export function lowWord(x: number): number {
  DOUBLE[0] = x;
  return WORDS[1 - HIGH]!;
}
