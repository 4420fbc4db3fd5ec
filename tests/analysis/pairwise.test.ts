import fc from "fast-check";
import { expect, test } from "vitest";
import { comparePair, type PairKind } from "../../src/analysis/pairwise.ts";

// Constructed: [option], [reference], kind, ratio.
const near = 1 + 1e-12;
const cases: readonly (readonly [
  option: readonly [number, number],
  reference: readonly [number, number],
  kind: PairKind,
  ratio: number | null,
])[] = [
  [[80, 3], [100, 2], "dominates", null],
  [[120, 1], [100, 2], "is dominated", null],
  [[300, 4], [100, 2], "costs more and yields more", 100],
  [[40, 1], [100, 2], "costs less and yields less", 60],
  [[100, 2], [100, 2], "equal", null],
  [[100 * near, 2], [100, 2 * near], "equal", null],
  [[80, 2 * near], [100, 2], "dominates", null],
  [[80, 2], [100, 2 * near], "dominates", null],
  [[120, 2 * near], [100, 2], "is dominated", null],
  [[100 * near, 3], [100, 2], "dominates", null],
  [[100, 1], [100 * near, 2], "is dominated", null],
  [[-50, -1], [-100, -2], "costs more and yields more", 50],
];

test.each(cases)("%j seen from %j: %s, ratio %s", (option, reference, kind, ratio) => {
  const found = comparePair({ cost: option[0], effect: option[1] }, { cost: reference[0], effect: reference[1] });
  expect(found.kind).toBe(kind);
  expect(found.ratio).toBe(ratio);
  expect(found.deltaCost).toBe(option[0] - reference[0]);
  expect(found.deltaEffect).toBe(option[1] - reference[1]);
});

const opposite: Readonly<Record<PairKind, PairKind>> = {
  dominates: "is dominated",
  "is dominated": "dominates",
  "costs more and yields more": "costs less and yields less",
  "costs less and yields less": "costs more and yields more",
  equal: "equal",
};

test("seen from the other side the kind is the opposite and the ratio is the same", () => {
  const option = fc.record({
    cost: fc.constantFrom(0, 1, 1 + 1e-12, -3, 7),
    effect: fc.constantFrom(0, 1, 1 - 1e-12, 2, -2),
  });
  fc.assert(
    fc.property(option, option, (a, b) => {
      const there = comparePair(a, b);
      const back = comparePair(b, a);
      expect(back.kind).toBe(opposite[there.kind]);
      expect(back.ratio).toBe(there.ratio);
    }),
  );
});
