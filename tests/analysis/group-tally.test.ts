import fc from "fast-check";
import { expect, test } from "vitest";
import { acceptability } from "../../src/analysis/acceptability.ts";
import { GroupTally } from "../../src/analysis/group-tally.ts";
import { expectations } from "../../src/analysis/strategy-draws.ts";
import { anyDraws } from "./draws.ts";

const thresholds = [0, 1000, 30_000];

test("draws that come in stretches give the bits of all at once", () => {
  fc.assert(
    fc.property(anyDraws, fc.integer({ min: 1, max: 7 }), (strategies, length) => {
      const tally = new GroupTally(
        strategies.map(({ id }) => id),
        thresholds,
      );
      const draws = strategies[0]!.cost.length;
      for (let from = 0; from < draws; from += length)
        tally.add(
          strategies.map(({ id, cost, effect }) => ({
            id,
            cost: cost.subarray(from, from + length),
            effect: effect.subarray(from, from + length),
          })),
        );
      expect(tally.summary()).toEqual({
        expected: expectations(strategies),
        acceptability: acceptability(strategies, thresholds),
      });
    }),
    { seed: 3 },
  );
});

test("draws that are not finite fail loudly", () => {
  const tally = new GroupTally(["a"], thresholds);
  expect(() => tally.add([{ id: "a", cost: Float64Array.of(Number.NaN), effect: Float64Array.of(1) }])).toThrow(
    "finite",
  );
});
