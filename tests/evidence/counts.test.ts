import { expect, test } from "vitest";
import {
  exactInterval,
  JEFFREYS,
  probabilityAfter,
  ruleOfThree,
  UNIFORM,
  zeroEventsUpperBound,
} from "../../src/evidence/counts.ts";
import { expectClose } from "../close.ts";

// closed forms; the rule after Hanley and Lippman-Hand, JAMA 249 (1983) 1743-1745 (from memory)
test.each([
  [30, 0.1, 0.09503385285530419, 0.11570330822202779, 0.03125, 0.016129032258064516],
  [159, 0.018867924528301886, 0.018664699758660808, 0.02293343743096099, 0.006211180124223602, 0.003125],
  [300, 0.01, 0.00993608194445772, 0.012220974694293507, 0.0033112582781456954, 0.0016611295681063123],
])(
  "no events in %d persons: rule, exact bounds and posterior means",
  (n, rule, oneSided, twoSided, uniform, jeffreys) => {
    expectClose(
      [
        ruleOfThree(n),
        zeroEventsUpperBound(n),
        zeroEventsUpperBound(n, 0.975),
        probabilityAfter(0, n, UNIFORM).mean,
        probabilityAfter(0, n, JEFFREYS).mean,
      ],
      [rule, oneSided, twoSided, uniform, jeffreys],
    );
    expectClose(exactInterval(0, n), [0, twoSided]);
  },
);

test("exact intervals are those of base R", () => {
  // R 4.2.2, binom.test(x, n)$conf.int with 17 digits
  expectClose(exactInterval(3, 20), [0.032070937185463728, 0.37892682654531396]);
  expectClose(exactInterval(116, 1734, 0.9), [0.057289717024779009, 0.077610942101562497]);
  expectClose(exactInterval(7, 7), [0.59038360277499657, 1]);
});

test("the posterior after all or no events without a prior is a point", () => {
  expect(probabilityAfter(0, 5, { a: 0, b: 0 }).quantile(0.9)).toBe(0);
  expect(probabilityAfter(5, 5, { a: 0, b: 0 }).quantile(0.1)).toBe(1);
});

test("more events than persons are refused", () => {
  expect(() => probabilityAfter(3, 2)).toThrow("3 events of 2");
  expect(() => exactInterval(3, 2)).toThrow("3 events of 2");
  expect(() => zeroEventsUpperBound(0)).toThrow("0 persons");
});
