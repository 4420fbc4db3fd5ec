import { expect, test } from "vitest";
import {
  compareNetBenefit,
  highestNetBenefit,
  netHealthBenefit,
  netMonetaryBenefit,
} from "../../src/analysis/net-benefit.ts";

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

test("net benefits that cancel to nearly nothing are tied by the size of their parts", () => {
  // Constructed: 50 x 2 (1 + 1e-12) - 100 is about 1e-10, which is rounding beside parts of 100.
  expect(compareNetBenefit(50, 100, 2 * (1 + 1e-12), 100, 2)).toBe(0);
  expect(compareNetBenefit(50, 100, 2 * (1 + 1e-8), 100, 2)).toBe(1);
  expect(compareNetBenefit(50, 100 * (1 + 1e-8), 2, 100, 2)).toBe(-1);
  expect(compareNetBenefit(0, 0, 1, 0, 2)).toBe(0);
});

test("of tied options the cheaper is taken, then the one of more effect, then the first", () => {
  const named = (id: string, cost: number, effect: number) => ({ id, cost, effect });
  expect(highestNetBenefit([named("dear", 100, 2), named("cheap", 50, 1)], 50).id).toBe("cheap");
  expect(highestNetBenefit([named("less", 50, 1), named("more", 50, 2)], 0).id).toBe("more");
  expect(highestNetBenefit([named("first", 50, 1), named("again", 50, 1)], 50).id).toBe("first");
  expect(highestNetBenefit([named("low", 50, 1), named("high", 99, 2)], 50).id).toBe("high");
});
