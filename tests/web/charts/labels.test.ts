import { describe, expect, test } from "vitest";
import { brokenName } from "../../../web/charts/broken-name.ts";
import { spread } from "../../../web/charts/end-labels.ts";
import { roundExtent } from "../../../web/charts/extent.ts";
import { roomFor } from "../../../web/charts/threshold-lines.ts";

test("the label of the threshold that decides stands where there is not room for all", () => {
  const spans = [
    { from: 10, to: 50 },
    { from: 40, to: 80 },
    { from: 95, to: 135 },
    { from: 170, to: 210 },
  ];
  expect(roomFor(spans, 1, 200)).toEqual([1, 2]);
  expect(roomFor(spans, 0, 300)).toEqual([0, 2, 3]);
  expect(roomFor([], -1, 300)).toEqual([]);
});

describe("names beside lines", () => {
  test("break between words, and a long word stands alone", () => {
    expect(brokenName("Balloon placed by endoscopy")).toEqual(["Balloon placed by", "endoscopy"]);
    expect(brokenName("Pneumonoultramicroscopic care")).toEqual(["Pneumonoultramicroscopic", "care"]);
    expect(brokenName("Short")).toEqual(["Short"]);
  });

  test("move apart until none overlap, in the order of their lines, and stay above the floor", () => {
    const labels = [
      { y: 100, lines: ["a", "b"] },
      { y: 101, lines: ["c"] },
      { y: 99, lines: ["d"] },
      { y: 118, lines: ["e"] },
    ];
    const before = labels.toSorted((a, b) => a.y - b.y).map(({ lines }) => lines[0]);
    spread(labels, 130);
    const after = labels.toSorted((a, b) => a.y - b.y);
    expect(after.map(({ lines }) => lines[0])).toEqual(before);
    for (const [i, label] of after.entries()) {
      const next = after[i + 1];
      const half = (of: { readonly lines: readonly string[] }): number => of.lines.length * 8;
      if (next !== undefined) expect(next.y - label.y).toBeGreaterThanOrEqual(half(label) + half(next));
      else expect(label.y + half(label)).toBeLessThanOrEqual(130);
    }
  });
});

describe("the extent of an axis", () => {
  test.each([[[0.045, -0.008, 0.1]], [[1290, 2400, 300]], [[-4000, -20]], [[0]], [[1e-9]]])(
    "holds zero and %j in whole steps, few of them",
    (values) => {
      const { min, max, step } = roundExtent(values);
      expect(min).toBeLessThanOrEqual(0);
      expect(max).toBeGreaterThanOrEqual(0);
      for (const value of values) {
        expect(value).toBeGreaterThan(min);
        expect(value).toBeLessThan(max);
      }
      for (const end of [min, max]) expect(Math.abs(end / step - Math.round(end / step))).toBeLessThan(1e-9);
      expect((max - min) / step).toBeLessThanOrEqual(10);
    },
  );
});
