import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { beta } from "../../../src/numerics/distributions/beta.ts";
import type { Distribution } from "../../../src/numerics/distributions/distribution.ts";
import { gamma } from "../../../src/numerics/distributions/gamma.ts";
import { logNormal } from "../../../src/numerics/distributions/log-normal.ts";
import { normal } from "../../../src/numerics/distributions/normal.ts";
import { studentT } from "../../../src/numerics/distributions/student-t.ts";

const read = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../fixtures/distributions/${name}`, import.meta.url), "utf8"));

const law = (family: string, [first, second]: readonly number[]): Distribution => {
  if (family === "normal") return normal(first!, second!);
  if (family === "log-normal") return logNormal(first!, second!);
  if (family === "gamma") return gamma(first!, second!);
  if (family === "beta") return beta(first!, second!);
  return studentT(first!);
};

interface Law {
  readonly family: string;
  readonly parameters: readonly number[];
}

describe("quantiles of base R", () => {
  const { made, probabilities, laws } = read("quantiles.json") as {
    readonly made: string;
    readonly probabilities: readonly number[];
    readonly laws: readonly (Law & { readonly quantiles: readonly number[] })[];
  };
  test.each(["normal", "log-normal", "gamma", "Student t", "beta"])(`${made}: %s agrees to 1e-12`, (family) => {
    for (const { parameters, quantiles } of laws.filter((entry) => entry.family === family)) {
      const { quantile } = law(family, parameters);
      probabilities.forEach((p, i) => {
        const exact = quantiles[i]!;
        const error = Math.abs(quantile(p) - exact);
        const bound = Math.abs(exact) < 1e-300 ? 1e-300 : 1e-12 * Math.abs(exact);
        expect(error, `${family} (${parameters}) at ${p}: ${quantile(p)} against ${exact}`).toBeLessThanOrEqual(bound);
      });
    }
  });
});

describe("quantiles in high precision", () => {
  const { made, probabilities, laws } = read("corners.json") as {
    readonly made: string;
    readonly probabilities: readonly number[];
    readonly laws: readonly (Law & { readonly answers: readonly (readonly [number, number, number] | null)[] })[];
  };
  // 4e-16 of the value, or 3e-14 of the smaller tail where the law is so wide that p fixes the value no better.
  test.each(laws)(`${made}: $family $parameters`, ({ family, parameters, answers }) => {
    const { quantile, below, above } = law(family, parameters);
    for (const [i, p] of probabilities.entries()) {
      const answer = answers[i];
      if (answer === null || answer === undefined) {
        expect(Math.abs(quantile(p))).toBeGreaterThan(1e300);
        continue;
      }
      const [high, low, condition] = answer;
      const q = quantile(p);
      const bound = Math.abs(high) < 1e-300 ? 1e-300 : Math.abs(high) * (4e-16 + 3e-14 / condition);
      expect(Math.abs(q - high - low), `at ${p}: ${q} against ${high}`).toBeLessThanOrEqual(bound);
      // and back: rounding of q moves the tail by condition times an epsilon
      if (Math.abs(q) < 1e-300) continue;
      const tail = p <= 0.5 ? below(q) : above(q);
      const edge = family === "beta" ? Number.EPSILON / (1 - q) : Number.EPSILON;
      const slack = condition * Math.max(edge, Number.EPSILON) + 3e-14;
      if (slack < 0.01) expect(Math.abs(tail / (p <= 0.5 ? p : 1 - p) - 1), `back at ${p}`).toBeLessThanOrEqual(slack);
    }
  });
});
