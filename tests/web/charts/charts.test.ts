import { describe, expect, test } from "vitest";
import { bearerParts, costDifferences, costParts, countedLines } from "../../../src/report/cost-differences.ts";
import { effectName } from "../../../src/report/effect-account.ts";
import { membershipByFactor } from "../../../src/report/time-tables.ts";
import { acceptabilityCurves, acceptabilityText } from "../../../web/charts/acceptability.ts";
import { costsByLine, costsByLineText } from "../../../web/charts/costs-by-line.ts";
import { curveOverTime, curveOverTimeText } from "../../../web/charts/curve-over-time.ts";
import { membership, membershipText } from "../../../web/charts/membership.ts";
import { type Plane, plane, planeText } from "../../../web/charts/plane.ts";
import { mostParts, partTone, stackedCosts, stackedCostsText } from "../../../web/charts/stacked-costs.ts";
import { worthOfCertainty, worthOfCertaintyOf, worthOfCertaintyText } from "../../../web/charts/worth-of-certainty.ts";
import { palettes, strategyStroke } from "../../../web/palette.ts";
import { answeredDocument } from "../../report/document.ts";

const document = answeredDocument();
const { works, costs, compared, worth } = document.answers;
const sure = document.answers.sure!;
const { strategies } = compared;
const colours = palettes.light;
const labels = strategies.map(({ label }) => label);

interface AnyAxis {
  readonly title?: { readonly text?: string };
  readonly grid?: {
    readonly color?: (context: object) => string;
    readonly lineWidth?: (context: object) => number;
  };
  readonly ticks?: { readonly callback?: (value: number) => string };
}

/** An axis of a chart as tests look at it. */
function axis(config: { readonly options?: object | undefined }, name: "x" | "y"): AnyAxis {
  return (config.options as { readonly scales: Readonly<Record<string, AnyAxis>> }).scales[name]!;
}

describe("a curve over time", () => {
  const series = {
    id: "weight",
    label: "Weight",
    unit: "kg",
    years: [0, 0.5, 1, 2, 5, 10],
    values: { usual: [100, 98, 98, 99, 100, 100], new: [100, 90, 92, 95, null, null] },
  };
  const data = { series, strategies, untilYears: 5, followUpYears: 1 };
  const config = curveOverTime(data, colours);

  test("has one line per strategy in its own colour and dash, up to the time shown, without those who are gone", () => {
    expect(config.data.datasets.map(({ label }) => label)).toEqual(labels);
    expect(config.data.datasets.map(({ borderColor }) => borderColor)).toEqual(colours.strategies.slice(0, 2));
    expect(config.data.datasets.map(({ borderDash }) => borderDash)).toEqual([[], [8, 4]]);
    expect(config.data.datasets[0]!.data.map(({ x }) => x)).toEqual([0, 0.5, 1, 2, 5]);
    expect(config.data.datasets[1]!.data).toEqual([
      { x: 0, y: 100 },
      { x: 0.5, y: 90 },
      { x: 1, y: 92 },
      { x: 2, y: 95 },
    ]);
  });

  test("carries the unit on its axis and names at its ends", () => {
    expect(axis(config, "y").title?.text).toBe("Weight, kg");
    expect(axis(config, "x").title?.text).toBe("Years since the start");
    expect(config.plugins?.map(({ id }) => id)).toEqual(["endLabels", "followUp"]);
  });

  test("reads as a sentence", () => {
    expect(curveOverTimeText(data)).toBe(
      "Weight over time. Usual care: 100 kg at the start, between 98.0 kg and 100 kg, 100 kg after 5 years. New pathway: 100 kg at the start, between 90.0 kg and 100 kg, 95.0 kg after 5 years.",
    );
  });
});

describe("membership", () => {
  const [factor] = membershipByFactor(works.membership);
  const config = membership({ factor: factor!, strategy: "new" }, colours);

  test("stacks the levels of one factor, the dead on top, to everybody", () => {
    expect(config.data.datasets.map(({ label }) => label)).toEqual(["well", "ill", "Dead"]);
    expect(config.data.datasets.map(({ fill }) => fill)).toEqual(["origin", "-1", "-1"]);
    for (const at of [0, 5, 10])
      expect(config.data.datasets.reduce((sum, { data }) => sum + data[at]!.y, 0)).toBeCloseTo(1, 12);
  });

  test("no two levels have the same tone", () => {
    const tones = config.data.datasets.map(({ backgroundColor }) => backgroundColor);
    expect(new Set(tones).size).toBe(tones.length);
  });

  test("reads as a sentence", () => {
    expect(membershipText({ factor: factor!, strategy: "new" }, "New pathway")).toMatch(
      /^Where people are, New pathway, by illness: well 100% at the start and \d+% after 10 years; ill 0% /,
    );
  });
});

describe("costs by line", () => {
  const amounts = {
    lines: countedLines(costs).map(({ label, discounted }) => ({ label, amounts: discounted })),
    strategies,
    axis: "EUR per person, discounted",
  };

  test("has a bar for each line and strategy, of the answer's own amounts", () => {
    const config = costsByLine(amounts, colours);
    expect(config.data.labels).toEqual(countedLines(costs).map(({ label }) => [label]));
    expect(config.data.datasets.map(({ label }) => label)).toEqual(labels);
    expect(config.data.datasets[1]!.data).toEqual(countedLines(costs).map(({ discounted }) => discounted["new"]));
  });

  test("differences leave the reference out, and the others keep their colours", () => {
    const lines = costDifferences(costs, "usual").map(({ label, difference }) => ({ label, amounts: difference }));
    const config = costsByLine({ ...amounts, lines }, colours);
    expect(config.data.datasets.map(({ label }) => label)).toEqual(["New pathway"]);
    expect(config.data.datasets[0]!.backgroundColor).toBe(strategyStroke(colours, 1).colour);
  });

  test("reads as a sentence", () => {
    expect(costsByLineText(amounts)).toMatch(
      /^EUR per person, discounted, 2 lines\. Usual care: most in care, [\d,]+\./i,
    );
  });
});

describe("stacked costs", () => {
  const axisText = "EUR per person, discounted";

  test("by bearer hold all bearers, whatever the perspective counts", () => {
    const data = { parts: bearerParts(costs), strategies, axis: axisText };
    const config = stackedCosts(data, colours);
    expect(config.data.datasets.map(({ label }) => label)).toEqual(["Payer", "Employer"]);
    expect(config.data.datasets.map(({ data: amounts }) => amounts[0])).toEqual(
      costs.byBearer.map(({ discounted }) => discounted["usual"]),
    );
    expect(stackedCostsText(data)).toMatch(/Usual care: Payer [\d,]+, Employer [\d,]+\./);
  });

  test("by line add up to the total, the smallest lines together", () => {
    for (const most of [1, 2, mostParts]) {
      const config = stackedCosts({ parts: costParts(costs, most), strategies, axis: axisText }, colours);
      expect(config.data.datasets.length).toBeLessThanOrEqual(most);
      for (const [i, { id }] of strategies.entries()) {
        const sum = config.data.datasets.reduce((total, { data }) => total + data[i]!, 0);
        expect(sum).toBeCloseTo(costs.total[id]!, 8);
      }
    }
    expect(costParts(costs, 1)[0]!.label).toBe("2 smaller lines");
  });

  test("no two parts have the same tone", () => {
    for (let count = 1; count <= mostParts; count++) {
      const tones = Array.from({ length: count }, (_, place) => partTone(colours, place, count));
      expect(new Set(tones).size).toBe(count);
    }
  });
});

describe("the plane", () => {
  const data: Plane = {
    pairs: worth.pairs,
    draws: sure.pairs,
    strategies,
    reference: "usual",
    threshold: 10_000,
    currency: "EUR",
    effect: effectName(document),
  };
  const config = plane(data, colours);
  const [mean, draws, ellipse, ray] = config.data.datasets;

  test("has the mean, the draws, the ellipse and the threshold's ray", () => {
    expect(mean!.data).toEqual([{ x: worth.pairs[0]!.deltaEffect, y: worth.pairs[0]!.deltaCost }]);
    expect(draws!.data).toHaveLength(200);
    expect(ellipse!.data[0]).toEqual(ellipse!.data.at(-1));
    expect(ray!.label).toBe("10,000 for each QALY");
    for (const { x, y } of ray!.data) expect(y).toBeCloseTo(10_000 * x, 6);
  });

  test("names only means and rays, so that draws and ellipses are not labelled twice", () => {
    expect(config.data.datasets.map(({ label }) => label)).toEqual(["New pathway", "", "", "10,000 for each QALY"]);
  });

  test("draws its zero lines stronger than the grid", () => {
    for (const name of ["x", "y"] as const) {
      const { grid } = axis(config, name);
      expect(grid?.color?.({ tick: { value: 0 } })).toBe(colours.zero);
      expect(grid?.color?.({ tick: { value: 1000 } })).toBe(colours.line);
      expect(grid?.lineWidth?.({ tick: { value: 0 } })).toBeGreaterThan(
        grid?.lineWidth?.({ tick: { value: 1000 } }) ?? 9,
      );
    }
  });

  test("shows markers alone where there are no draws", () => {
    const bare = plane({ ...data, draws: [], threshold: null }, colours);
    expect(bare.data.datasets).toHaveLength(1);
  });

  test("reads as a sentence", () => {
    expect(planeText(data)).toMatch(
      /^More cost and more QALY than Usual care\. New pathway: −?[\d,]+ EUR and −?\d\.\d+ QALY\. Below the line of 10,000 for each QALY /,
    );
  });
});

describe("acceptability", () => {
  const data = { acceptability: sure.acceptability, strategies, asked: worth.thresholds, perUnit: "EUR for each QALY" };
  const config = acceptabilityCurves(data, colours);

  test("has one curve per strategy and the frontier behind them, which is the curve of the one to choose", () => {
    expect(config.data.datasets.map(({ label }) => label)).toEqual([...labels, ""]);
    const frontier = config.data.datasets.at(-1)!;
    expect(frontier.data.map(({ y }) => y)).toEqual(sure.acceptability.frontier);
    for (const [i, id] of sure.acceptability.best.entries())
      expect(frontier.data[i]!.y).toBe(sure.acceptability.curves[id]![i]);
  });

  test("marks the scenario's thresholds and runs from none to all draws", () => {
    expect(config.plugins?.map(({ id }) => id)).toEqual(["endLabels", "thresholdLines"]);
    expect(axis(config, "y")).toMatchObject({ min: 0, max: 1 });
    expect(axis(config, "y").ticks?.callback?.(0.5)).toBe("50%");
    expect(axis(config, "x").title?.text).toBe("Threshold, EUR for each QALY");
  });

  test("reads as a sentence", () => {
    expect(acceptabilityText(data)).toMatch(/To choose: at 10,000 [\w ]+, best in (over |under )?\d+%; at 20,000 /);
  });
});

describe("the worth of certainty", () => {
  const data = worthOfCertaintyOf(sure, worth.thresholds, "EUR", "EUR for each QALY");
  const config = worthOfCertainty(data, colours);
  const [line, low, high] = config.data.datasets;

  test("lies within a band of two Monte Carlo errors that is never below zero", () => {
    expect(line!.data.map(({ y }) => y)).toEqual(sure.evpi);
    for (const [i, { y }] of line!.data.entries()) {
      expect(low!.data[i]!.y).toBeLessThanOrEqual(y);
      expect(low!.data[i]!.y).toBeGreaterThanOrEqual(0);
      expect(high!.data[i]!.y).toBeCloseTo(y + 2 * (sure.evpiError[i] ?? 0), 9);
    }
    expect(high!.fill).toBe("-1");
  });

  test("reads as a sentence", () => {
    expect(worthOfCertaintyText(data)).toMatch(/EUR per person: [\d,]+ at 10,000, [\d,]+ at 20,000\.$/);
  });
});
