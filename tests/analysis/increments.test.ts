import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bestAt, type Increment, increments, type Option } from "../../src/analysis/increments.ts";
import { highestNetBenefit, netMonetaryBenefit } from "../../src/analysis/net-benefit.ts";

function named(table: Readonly<Record<string, readonly [cost: number, effect: number]>>): Option[] {
  return Object.entries(table).map(([id, [cost, effect]]) => ({ id, cost, effect }));
}

function lineOf(lines: readonly Increment[], id: string): Increment {
  const found = lines.find((l) => l.id === id);
  if (found === undefined) throw new Error(`no line ${id}`);
  return found;
}

describe("Frick, Decision rules, lecture 11, Johns Hopkins Bloomberg School of Public Health 2007", () => {
  // Inputs read in the source; statuses and ratios recomputed.
  const options = named({
    "1": [300_000, 25],
    "2": [200_000, 20],
    "3": [450_000, 50],
    "4": [375_000, 40],
    "5": [400_000, 15],
  });
  const lines = increments(options);

  test("extended dominance is repeated: option 4 falls only after option 1 has", () => {
    expect(lines.map((l) => [l.id, l.status, l.against])).toEqual([
      ["2", "frontier", null],
      ["3", "frontier", "2"],
      ["1", "extendedly dominated", "2"],
      ["4", "extendedly dominated", "2"],
      ["5", "dominated", "2"],
    ]);
    expect(lineOf(lines, "4").between).toEqual(["2", "3"]);
    expect(lineOf(lines, "3").icer).toBe(8333.333333333334);
  });

  test.each([
    // Ratios met on the way; recomputed from the lecture's inputs.
    [["1", "2"], "1", 20_000],
    [["1", "4"], "4", 5_000],
    [["2", "4"], "4", 8_750],
    [["3", "4"], "3", 7_500],
  ])("among %j the ratio of %s is %d", (ids, id, icer) => {
    const few = increments(options.filter((o) => ids.includes(o.id)));
    expect(lineOf(few, id).icer).toBe(icer);
  });
});

describe("colorectal screening, Australia and New Zealand Health Policy 2005;2:10, table 7", () => {
  // Costs, effects and whole-dollar ratios read in the source; decimals recomputed.
  const options = named({
    existing: [0, 0],
    FOBT2: [140_117_791, 3551],
    DCBE5: [248_112_291, 6023],
    DCBE3: [304_301_903, 6720],
    "FOBT1+DCBE5": [370_181_240, 7076],
    "FOBT1+DCBE3": [422_777_702, 7299],
  });
  const printed = [39_459, 43_687, 80_616, 185_054, 235_859];
  const recomputed = [39458.68515911011, 43687.09546925566, 80616.37302725969, 185054.31741573033, 235858.5739910314];
  const average = [39458.68515911011, 41194.13763905031, 45283.0212797619, 52315.04239683437, 57922.688313467595];

  test("all six stand on the frontier with the printed ratios", () => {
    const lines = increments(options.toReversed());
    expect(lines.map((l) => l.id)).toEqual(options.map((o) => o.id));
    expect(lines.every((l) => l.status === "frontier")).toBe(true);
    expect(lines[0]?.icer).toBeNull();
    const icers = lines.slice(1).map((l) => l.icer ?? Number.NaN);
    for (const [i, icer] of icers.entries()) {
      expect(Math.abs(icer - (printed[i] ?? Number.NaN))).toBeLessThanOrEqual(0.5);
      expect(Math.abs(icer / (recomputed[i] ?? Number.NaN) - 1)).toBeLessThan(1e-9);
    }
  });

  test.each(options.slice(1).map((o, i) => [o.id, o, average[i]] as const))(
    "against the existing programme alone %s has its average ratio",
    (id, option, ratio) => {
      const lines = increments([...options.slice(0, 1), option]);
      expect(Math.abs((lineOf(lines, id).icer ?? Number.NaN) / (ratio ?? Number.NaN) - 1)).toBeLessThan(1e-9);
    },
  );
});

describe("ties", () => {
  test("of equal effect the dearer is dominated, although rounding makes it the better", () => {
    const lines = increments(named({ dear: [120, 2 * (1 + 1e-12)], cheap: [100, 2] }));
    expect(lines.map((l) => [l.id, l.status, l.against])).toEqual([
      ["cheap", "frontier", null],
      ["dear", "dominated", "cheap"],
    ]);
    expect(lineOf(lines, "dear").deltaCost).toBe(20);
  });

  test("of options equal in both the first in the file is kept", () => {
    const lines = increments(named({ low: [0, 0], b: [100, 2], a: [100 * (1 + 1e-12), 2], c: [100, 2] }));
    expect(lines.map((l) => [l.id, l.status, l.against])).toEqual([
      ["low", "frontier", null],
      ["b", "frontier", "low"],
      ["a", "equal", "b"],
      ["c", "equal", "b"],
    ]);
    expect(lines.map((l) => l.icer)).toEqual([null, 50, null, null]);
  });

  test("a copy of a dominated option says of which it is a copy", () => {
    const lines = increments(named({ bad: [10, 1], again: [10, 1], good: [5, 2] }));
    expect(lines.map((l) => [l.id, l.status, l.against])).toEqual([
      ["good", "frontier", null],
      ["bad", "dominated", "good"],
      ["again", "equal", "bad"],
    ]);
  });

  test("an option exactly on the line between its neighbours is extendedly dominated", () => {
    const lines = increments(named({ none: [0, 0], half: [50, 1], full: [100, 2] }));
    expect(lineOf(lines, "half")).toMatchObject({
      status: "extendedly dominated",
      against: "none",
      between: ["none", "full"],
      icer: null,
      deltaCost: 50,
      deltaEffect: 1,
    });
  });

  test("an option beaten only by one off the frontier names that one", () => {
    const lines = increments(named({ none: [0, 0], beaten: [61, 1], beats: [60, 1.1], full: [62, 2] }));
    expect(lineOf(lines, "beats").status).toBe("extendedly dominated");
    expect(lineOf(lines, "beaten")).toMatchObject({ status: "dominated", against: "beats" });
  });
});

test("no options give no lines, and one stands alone", () => {
  expect(increments([])).toEqual([]);
  expect(increments(named({ only: [5, 1] }))).toEqual([
    {
      id: "only",
      status: "frontier",
      cost: 5,
      effect: 1,
      deltaCost: 0,
      deltaEffect: 0,
      icer: null,
      against: null,
      between: null,
    },
  ]);
});

test("numbers that are not finite and ids given twice fail loudly", () => {
  expect(() => increments(named({ a: [Number.NaN, 1] }))).toThrow(/"a".*finite/);
  expect(() => increments(named({ a: [1, Number.POSITIVE_INFINITY] }))).toThrow(/"a".*finite/);
  expect(() => increments([...named({ a: [1, 1] }), ...named({ a: [2, 2] })])).toThrow(/"a" is given twice/);
});

/** Values on a coarse grid (ties), moved by a few parts in 1e10 (near-ties) or free. */
const amount = (scale: number): fc.Arbitrary<number> =>
  fc.oneof(
    fc.integer({ min: -4, max: 8 }).map((v) => v * scale),
    fc
      .tuple(fc.integer({ min: 1, max: 6 }), fc.integer({ min: -15, max: 15 }))
      .map(([v, step]) => v * scale * (1 + step * 1e-10)),
    fc.integer({ min: -5e6, max: 10e6 }).map((v) => (v / 1e6) * scale),
  );
const anyOptions = fc
  .array(fc.record({ cost: amount(10_000), effect: amount(1) }), { minLength: 1, maxLength: 12 })
  .map((list) => list.map((o, i) => ({ id: `o${i}`, ...o })));
const gridOptions = fc
  .array(fc.record({ cost: fc.integer({ min: -4, max: 20 }), effect: fc.integer({ min: -4, max: 20 }) }), {
    minLength: 1,
    maxLength: 10,
  })
  .map((list) => list.map((o, i) => ({ id: `o${i}`, ...o })));

describe("laws", () => {
  test("at 200 thresholds the highest net benefit is the frontier's answer", () => {
    fc.assert(
      fc.property(anyOptions, (options) => {
        const lines = increments(options);
        const icers = lines.flatMap((l) => l.icer ?? []);
        const spread = Array.from({ length: 200 }, (_, i) => (i === 0 ? 0 : 10 ** (-2 + (i * 10) / 199)));
        const thresholds = [
          ...icers,
          ...icers.map((r) => r * (1 - 1e-6)),
          ...icers.map((r) => r * (1 + 1e-6)),
          ...spread,
        ];
        const largestCost = Math.max(...options.map((o) => Math.abs(o.cost)));
        const largestEffect = Math.max(...options.map((o) => Math.abs(o.effect)));
        for (const threshold of thresholds.slice(0, 200)) {
          const best = Math.max(...options.map((o) => netMonetaryBenefit(threshold, o.cost, o.effect)));
          const answer = bestAt(lines, threshold);
          const short = best - netMonetaryBenefit(threshold, answer.cost, answer.effect);
          // A tie gives away 1e-9 of the larger magnitude; chains of near-ties add up over at most 12 options.
          expect(short).toBeLessThanOrEqual(12e-9 * (threshold * largestEffect + largestCost));
        }
      }),
      { numRuns: 500 },
    );
  });

  test("the frontier's answer is the option found by looking at all of them, ties included", () => {
    fc.assert(
      fc.property(gridOptions, fc.integer({ min: 0, max: 12 }), (options, threshold) => {
        expect(bestAt(increments(options), threshold).id).toBe(highestNetBenefit(options, threshold).id);
      }),
      { numRuns: 1000 },
    );
  });

  test("along the frontier a ratio below the threshold moves the choice up and one above it does not", () => {
    fc.assert(
      fc.property(anyOptions, fc.integer({ min: 0, max: 50_000 }), (options, threshold) => {
        const lines = increments(options);
        const ratios = lines.filter((l) => l.status === "frontier").map((l) => l.icer ?? 0);
        fc.pre(ratios.every((r) => Math.abs(r - threshold) > 1e-3 * threshold));
        const place = ratios.filter((r) => r <= threshold).length - 1;
        expect(bestAt(lines, threshold).id).toBe(lines[place]?.id);
      }),
    );
  });

  test("every option appears once and ratios rise strictly along the frontier", () => {
    fc.assert(
      fc.property(anyOptions, (options) => {
        const lines = increments(options);
        expect(lines.map((l) => l.id).toSorted()).toEqual(options.map((o) => o.id).toSorted());
        const icers = lines.flatMap((l) => l.icer ?? []);
        for (const [i, icer] of icers.entries()) expect(icer).toBeGreaterThan(i === 0 ? 0 : (icers[i - 1] ?? 0));
      }),
      { numRuns: 500 },
    );
  });

  test("the statuses are those of the procedure carried out word for word", () => {
    fc.assert(
      fc.property(gridOptions, (options) => {
        const statuses = new Map(increments(options).map((l) => [l.id, l.status]));
        expect(statuses).toEqual(wordForWord(options));
      }),
      { numRuns: 500 },
    );
  });

  test("the order in the file changes nothing but which of two equal options is kept", () => {
    const distinct = gridOptions.filter(
      (list) => new Set(list.map((o) => `${o.cost} ${o.effect}`)).size === list.length,
    );
    fc.assert(
      fc.property(distinct, (options) => {
        const byId = (list: readonly Increment[]) => list.toSorted((a, b) => (a.id < b.id ? -1 : 1));
        expect(byId(increments(options.toReversed()))).toEqual(byId(increments(options)));
      }),
    );
  });

  test("counting costs in another currency scales ratios and moves no status", () => {
    fc.assert(
      fc.property(anyOptions, (options) => {
        const before = increments(options);
        // A power of two scales without rounding.
        const after = increments(options.map((o) => ({ ...o, cost: o.cost * 1024 })));
        expect(after.map((l) => [l.id, l.status])).toEqual(before.map((l) => [l.id, l.status]));
        expect(after.map((l) => l.icer)).toEqual(before.map((l) => (l.icer === null ? null : l.icer * 1024)));
      }),
    );
  });
});

/** The slow and clear procedure: one removal, then everything again. Exact on whole numbers. */
function wordForWord(options: readonly Option[]): Map<string, string> {
  const status = new Map<string, string>();
  let left = [...options];
  for (const [i, o] of options.entries()) {
    if (options.slice(0, i).some((p) => p.cost === o.cost && p.effect === o.effect)) status.set(o.id, "equal");
  }
  left = left.filter((o) => !status.has(o.id));
  for (;;) {
    const loser = left.find((o) => left.some((p) => p !== o && p.cost <= o.cost && p.effect >= o.effect));
    if (loser === undefined) break;
    status.set(loser.id, "dominated");
    left = left.filter((o) => o !== loser);
  }
  left.sort((a, b) => a.effect - b.effect);
  const icer = (i: number): number => {
    const [below, here] = [left[i - 1], left[i]];
    if (below === undefined || here === undefined) return Number.NaN;
    return (here.cost - below.cost) / (here.effect - below.effect);
  };
  for (;;) {
    const loser = left.findIndex((_, i) => icer(i) >= icer(i + 1));
    if (loser === -1) break;
    status.set(left[loser]?.id ?? "", "extendedly dominated");
    left = left.filter((_, i) => i !== loser);
  }
  for (const o of left) status.set(o.id, "frontier");
  return status;
}
