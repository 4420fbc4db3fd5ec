import fc from "fast-check";
import { expect, test } from "vitest";
import { sufficiency } from "../../src/analysis/sufficiency.ts";
import { anyDraws, fromNetBenefits } from "./draws.ts";

test("a gap of many standard errors is enough, and common noise cancels", () => {
  // Constructed: B is 10 above A give or take 1, while both swing by 1000 together.
  const noise = [500, -500, 300, -300];
  const strategies = fromNetBenefits({
    A: noise,
    B: noise.map((v, k) => v + (k % 2 === 0 ? 11 : 9)),
    C: [0, -900, 0, 0],
  });
  const [found] = sufficiency(strategies, [0]);
  expect(found).toMatchObject({ best: "B", second: "A", gap: 10, verdict: "enough", drawsNeeded: null });
  expect(found?.mcse).toBeCloseTo(Math.sqrt(4 / 3 / 4), 14);
});

test("a gap of 1 with 1 standard error needs nine times the draws", () => {
  // Constructed: differences 0, 0, 0, 4 have mean 1 and variance 4, so the error over 4 draws is 1.
  const [found] = sufficiency(fromNetBenefits({ A: [0, 0, 0, 0], B: [0, 0, 0, 4] }), [0]);
  expect(found).toEqual({
    threshold: 0,
    best: "B",
    second: "A",
    gap: 1,
    mcse: 1,
    verdict: "more draws",
    drawsNeeded: 36,
  });
});

test("strategies that meet on average but not draw by draw need more draws than anyone can tell", () => {
  const [found] = sufficiency(fromNetBenefits({ A: [0, 0], B: [-1, 1] }), [0]);
  expect(found).toMatchObject({ best: "A", gap: 0, verdict: "more draws", drawsNeeded: null });
});

test("strategies the same in every draw but for rounding are tied", () => {
  const values = [100, 250, -30, 80];
  const [found] = sufficiency(fromNetBenefits({ A: values, B: values.map((v) => v * (1 + 1e-13)) }), [0]);
  expect(found).toMatchObject({ best: "A", second: "B", verdict: "tied", drawsNeeded: null });
  expect(found?.gap).toBeLessThan(1e-9);
});

test("one strategy is best for sure", () => {
  const [found] = sufficiency(fromNetBenefits({ A: [1, 5] }), [9]);
  expect(found).toMatchObject({ threshold: 9, best: "A", second: null, gap: 0, verdict: "enough" });
});

test("with randomisations the error is the spread of their means", () => {
  // Constructed: differences 0, 2 in one randomisation and 4, 6 in the other, dealt in turn: means 1 and 5, so the error is 2 about a gap of 3.
  const [found] = sufficiency(fromNetBenefits({ A: [0, 0, 0, 0], B: [0, 4, 2, 6] }), [0], 2);
  expect(found).toMatchObject({ gap: 3, mcse: 2, verdict: "more draws", drawsNeeded: 16 });
});

test("the verdict is enough exactly when the gap is 3 errors, and scaling money never changes it", () => {
  fc.assert(
    fc.property(anyDraws, fc.integer({ min: 0, max: 9 }), (strategies, threshold) => {
      const [found] = sufficiency(strategies, [threshold]);
      if (found === undefined) throw new Error("a verdict was expected");
      if (found.verdict === "enough") expect(found.gap).toBeGreaterThanOrEqual(3 * found.mcse);
      else if (found.verdict === "more draws") expect(found.gap).toBeLessThan(3 * found.mcse);
      else expect([found.gap, found.mcse]).toEqual([0, 0]);
      if (found.drawsNeeded !== null) expect(found.drawsNeeded).toBeGreaterThan(strategies[0]?.cost.length ?? 0);

      const scaled = strategies.map((s) => ({ ...s, cost: s.cost.map((c) => c * 8) }));
      const [large] = sufficiency(scaled, [threshold * 8]);
      expect(large).toEqual({ ...found, threshold: threshold * 8, gap: found.gap * 8, mcse: found.mcse * 8 });
    }),
  );
});
