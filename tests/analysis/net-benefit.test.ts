import { expect, test } from "vitest";
import { netHealthBenefit, netMonetaryBenefit } from "../../src/analysis/net-benefit.ts";

test("net benefit in money and in health say the same at a threshold", () => {
  // Constructed: 30,000 x 2 - 100 and 2 - 100 / 30,000.
  expect(netMonetaryBenefit(30_000, 100, 2)).toBe(59_900);
  expect(netHealthBenefit(30_000, 100, 2)).toBe(2 - 100 / 30_000);
  expect(netHealthBenefit(30_000, 100, 2) * 30_000).toBeCloseTo(59_900, 8);
});

test("at threshold 0 money counts alone", () => {
  expect(netMonetaryBenefit(0, 100, 2)).toBe(-100);
});

test.each([0, -1, Number.NaN])("net health benefit at threshold %d is refused", (threshold) => {
  expect(() => netHealthBenefit(threshold, 100, 2)).toThrow(/threshold above 0/);
});
