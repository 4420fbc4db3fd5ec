import fc from "fast-check";
import { expect, test } from "vitest";
import { compareNetBenefit, netMonetaryBenefit } from "../../src/analysis/net-benefit.ts";
import type { StrategyDraws } from "../../src/analysis/strategy-draws.ts";
import { contest, countWins, shareOfWins } from "../../src/analysis/wins.ts";
import { anyDraws, fromNetBenefits } from "./draws.ts";

function shares(strategies: readonly StrategyDraws[], threshold: number): number[] {
  const room = contest(strategies);
  countWins(room, strategies, threshold);
  return strategies.map((_, s) => shareOfWins(room, s));
}

/** The slow and clear count: look at each draw, find the highest, share it among all tied with it. */
function drawByDraw(strategies: readonly StrategyDraws[], threshold: number): number[] {
  const won = strategies.map(() => 0);
  const draws = strategies[0]?.cost.length ?? 0;
  for (let k = 0; k < draws; k++) {
    const options = strategies.map((s) => ({ cost: s.cost[k] ?? Number.NaN, effect: s.effect[k] ?? Number.NaN }));
    const benefits = options.map((o) => netMonetaryBenefit(threshold, o.cost, o.effect));
    const top = options[benefits.indexOf(Math.max(...benefits))] ?? { cost: Number.NaN, effect: Number.NaN };
    const tied = options.map((o) => compareNetBenefit(threshold, o.cost, o.effect, top.cost, top.effect) === 0);
    const winners = tied.filter(Boolean).length;
    for (const [s, isWinner] of tied.entries()) if (isWinner) won[s] = (won[s] ?? 0) + 1 / winners;
  }
  return won.map((w) => w / draws);
}

test("the quick count is the slow one", () => {
  const nudge = fc.constantFrom(0, 1e-12, -1e-12, 3e-9);
  fc.assert(
    fc.property(anyDraws, nudge, fc.integer({ min: 0, max: 9 }), (strategies, by, threshold) => {
      const nudged = strategies.map((s, i) => (i === 0 ? { ...s, cost: s.cost.map((c) => c * (1 + by)) } : s));
      const slow = drawByDraw(nudged, threshold);
      for (const [s, share] of shares(nudged, threshold).entries())
        expect(Math.abs(share - (slow[s] ?? 0))).toBeLessThan(1e-14);
    }),
    { numRuns: 1000 },
  );
});

test("three strategies tied in a million draws have a third each, to the bit", () => {
  const same = Array.from({ length: 1_000_000 }, () => 7);
  expect(shares(fromNetBenefits({ A: same, B: same, C: same }), 5)).toEqual([1 / 3, 1 / 3, 1 / 3]);
});

test("a contest is used again for the next threshold without a trace of the last", () => {
  const strategies: StrategyDraws[] = [
    { id: "cheap", cost: Float64Array.of(1, 1), effect: Float64Array.of(1, 1) },
    { id: "good", cost: Float64Array.of(3, 9), effect: Float64Array.of(2, 2) },
  ];
  const room = contest(strategies);
  countWins(room, strategies, 100);
  expect(shareOfWins(room, 1)).toBe(1);
  countWins(room, strategies, 5);
  expect([shareOfWins(room, 0), shareOfWins(room, 1)]).toEqual([0.5, 0.5]);
});
