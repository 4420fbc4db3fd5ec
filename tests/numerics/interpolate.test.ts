import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { interpolated, monotoneSlopes, rowAt } from "../../src/numerics/interpolate.ts";

interface Case {
  readonly name: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly at: readonly number[];
  readonly curve: readonly number[];
  readonly other?: readonly number[];
}

// base R: a Hermite curve with the slopes of Fritsch and Butland, coded there once more; and R's own monotone curve
const { cases } = JSON.parse(
  readFileSync(new URL("../fixtures/interpolation/monotone.json", import.meta.url), "utf8"),
) as { readonly cases: readonly Case[] };

function curveOf({ x, y, at }: Case): readonly number[] {
  const [positions, values] = [Float64Array.from(x), Float64Array.from(y)];
  const slopes = monotoneSlopes(positions, values);
  return at.map((position) => interpolated("monotone", positions, values, slopes, position));
}

describe("a monotone table", () => {
  test.each(cases.map((one) => [one.name, one] as const))(
    "is the curve of base R with the same slopes: %s",
    (_, one) => {
      const size = Math.max(...one.y.map(Math.abs));
      for (const [i, value] of curveOf(one).entries())
        expect(Math.abs(value - one.curve[i]!), String(one.at[i])).toBeLessThan(1e-14 * size);
    },
  );

  test.each(cases.map((one) => [one.name, one] as const))("never leaves the two rows it lies between: %s", (_, one) => {
    const positions = Float64Array.from(one.x);
    for (const [i, value] of curveOf(one).entries()) {
      const row = Math.min(rowAt(positions, one.at[i]!), one.x.length - 2);
      const between = [one.y[row]!, one.y[row + 1]!];
      expect(value).toBeGreaterThanOrEqual(Math.min(...between) - 1e-15);
      expect(value).toBeLessThanOrEqual(Math.max(...between) + 1e-15);
    }
  });

  test("differs from the slopes of Fritsch and Carlson by less than a tenth of the whole rise, and not at the rows", () => {
    const compared = cases.filter(({ other }) => other !== undefined);
    expect(compared.length).toBeGreaterThan(3);
    for (const one of compared) {
      const whole = Math.max(...one.y) - Math.min(...one.y);
      for (const [i, value] of curveOf(one).entries()) {
        const bound = one.x.includes(one.at[i]!) ? 1e-14 : 0.1;
        expect(Math.abs(value - one.other![i]!), `${one.name} at ${one.at[i]}`).toBeLessThanOrEqual(bound * whole);
      }
    }
  });
});
