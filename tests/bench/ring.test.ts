import { expect, test } from "vitest";
import { runReference } from "../../src/study.ts";
import { evaluated, ready, stateCycles } from "./own.ts";
import { openRing, ringRows } from "./ring.ts";

test.each([5, 40])("a ring of %i states has so many, all inhabited, whatever the time", (states) => {
  const study = openRing(states, 7);
  expect(study.expansion.states).toHaveLength(states);
  expect(stateCycles(ready(study))).toEqual({ all: 7 * states, inhabited: 7 * states });
});

test("each state of a ring has chances and amounts of its own", () => {
  const study = openRing(4, 6);
  const [traced] = runReference(study, ringRows(study, 1))[0]!;
  const { membership } = traced!;
  const last = [...membership.subarray(6 * 5, 7 * 5)];
  expect(new Set(last).size).toBe(5);
  expect(last.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
});

test("rows of a ring differ from draw to draw and lie near the base", () => {
  const study = openRing(4, 6);
  const rows = ringRows(study, 50);
  const base = study.program.components.map((component) => component.base);
  const shares = [...rows].map((value, i) => value / base[i % base.length]!);
  expect(Math.min(...shares)).toBeGreaterThan(0.9);
  expect(Math.max(...shares)).toBeLessThan(1.1);
  expect(new Set(shares.filter((_, i) => i % base.length === 0)).size).toBe(50);
  const { totals } = evaluated(ready(study), rows);
  expect(new Set(totals).size).toBe(totals.length);
});
