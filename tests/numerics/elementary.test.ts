import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { exp, expm1 } from "../../src/numerics/exp.ts";
import { log, log1p } from "../../src/numerics/log.ts";
import { pow } from "../../src/numerics/pow.ts";
import { lowWord } from "../../src/numerics/power-of-two.ts";

type Kind = "uniform" | "scaled" | "signed" | "one" | "minus-one";
type Span = readonly [kind: Kind, low: number, high: number];
interface Range {
  readonly function: "exp" | "expm1" | "log" | "log1p" | "pow";
  readonly count: number;
  readonly x: Span;
  readonly y?: Span;
}
interface Fixture {
  readonly seed: number;
  readonly every: number;
  readonly ranges: readonly Range[];
}

const folder = new URL("../fixtures/numerics/", import.meta.url);
const bytes = (name: string) => {
  const file = readFileSync(new URL(name, folder));
  return new DataView(file.buffer, file.byteOffset, file.byteLength);
};
const fixture: Fixture = JSON.parse(readFileSync(new URL("elementary.json", folder), "utf8"));

const ours = { exp, expm1, log, log1p, pow };
// Only to rule out errors of 128 units and more, which the compact reference cannot see.
const rough = { exp: Math.exp, expm1: Math.expm1, log: Math.log, log1p: Math.log1p, pow: Math.pow };

/** The argument generator described in make-elementary.py. */
function drawing(seed: number): (span: Span) => number {
  let state = seed;
  const word = () => {
    state = (state + 0x9e3779b9) | 0;
    let h = state;
    h = Math.imul(h ^ (h >>> 16), 0x21f0aaad);
    h = Math.imul(h ^ (h >>> 15), 0x735a2d97);
    return (h ^ (h >>> 15)) >>> 0;
  };
  const unit = () => {
    const high = word() >>> 5;
    return (high * 67108864 + (word() >>> 6)) / 9007199254740992;
  };
  return ([kind, low, high]) => {
    if (kind === "uniform") return low + (high - low) * unit();
    const power = low + (word() % (high - low + 1));
    const fraction = 1 + unit();
    const size = fraction * 2 ** power;
    const signed = (kind === "signed" || kind === "one") && word() & 1 ? -size : size;
    return (kind === "one" ? 1 : kind === "minus-one" ? -1 : 0) + signed;
  };
}

interface Measured {
  arguments: number;
  /** Largest error in units in the last place, and where. */
  worst: number;
  at: readonly number[];
  /** The same where the result is subnormal. */
  worstSubnormal: number;
  /** Results more than one unit from the double nearest to the exact value. */
  farFromNearest: number;
  /** Results 64 units or more from the platform's. */
  farFromRough: number;
}

function measure(): Record<Range["function"], Measured> {
  const compact = bytes("elementary.bin");
  const full = bytes("elementary-full.bin");
  const draw = drawing(fixture.seed);
  const blank = (): Measured => ({
    arguments: 0,
    worst: 0,
    at: [],
    worstSubnormal: 0,
    farFromNearest: 0,
    farFromRough: 0,
  });
  const found = { exp: blank(), expm1: blank(), log: blank(), log1p: blank(), pow: blank() };
  let index = 0;
  for (const range of fixture.ranges) {
    const own = ours[range.function];
    const other = rough[range.function];
    const entry = found[range.function];
    for (let n = 0; n < range.count; n++, index++) {
      const x = draw(range.x);
      const y = range.y ? draw(range.y) : 0;
      const result = own(x, y);
      const place = (lowWord(result) & 0xff) << 8;
      const error = Math.abs(((place - compact.getUint16(2 * index, true)) << 16) >> 16) / 256;
      entry.arguments++;
      if (Math.abs(result) < 2 ** -1022) entry.worstSubnormal = Math.max(entry.worstSubnormal, error);
      else if (error > entry.worst) {
        entry.worst = error;
        entry.at = [x, y];
      }
      const reference = other(x, y);
      const distance = Math.abs(result - reference);
      if (result !== reference && !(distance <= 2 ** -47 * Math.abs(reference) + 2 ** -1068)) entry.farFromRough++;
      if (index % fixture.every === 0) {
        const nearest = full.getFloat64((index / fixture.every) * 8, true);
        const gap = Math.abs(result - nearest);
        if (result !== nearest && !(gap <= 2 ** -52 * Math.abs(nearest) + 2 ** -1074)) entry.farFromNearest++;
      }
    }
  }
  return found;
}

describe("against the exact value at 1,040,000 arguments (mpmath; see make-elementary.py)", () => {
  const found = measure();
  test.each([
    // Function, arguments, and the largest error its docstring states: in general, where the result is subnormal.
    ["exp", 220000, 0.55, 0.78],
    ["expm1", 170000, 1.01, 0],
    ["log", 250000, 0.76, 0],
    ["log1p", 170000, 0.76, 0],
    ["pow", 230000, 0.52, 0.77],
  ] as const)("%s keeps the accuracy its docstring states", (name, count, most, mostSubnormal) => {
    const entry = found[name];
    expect(entry.arguments).toBe(count);
    expect(entry.worst, `at ${entry.at.join(", ")}`).toBeLessThanOrEqual(most);
    expect(entry.worstSubnormal).toBeLessThanOrEqual(mostSubnormal);
    expect(entry.farFromNearest).toBe(0);
    expect(entry.farFromRough).toBe(0);
  });
});
