import type { ChartConfiguration, ChartDataset } from "chart.js";
import { effectText, exactMoneyText, moneyText } from "../../src/report/format.ts";
import { planeOutline } from "../../src/report/plane-outline.ts";
import type { SurePair } from "../../src/report/sure.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import type { WorthPair } from "../../src/report/worth.ts";
import { type Palette, strategyStroke } from "../palette.ts";
import { type AxisExtent, numberAxis, tooltip } from "./axes.ts";
import { endLabels } from "./end-labels.ts";
import { roundExtent } from "./extent.ts";
import { pointLabels } from "./point-labels.ts";
import { quadrantWords } from "./quadrant-words.ts";

/** Strategies as seen from the reference: differences in cost and effect, with draws where there are any. */
export interface Plane {
  readonly pairs: readonly Pick<WorthPair, "id" | "deltaCost" | "deltaEffect">[];
  readonly draws: readonly Pick<SurePair, "id" | "points" | "ellipse">[];
  readonly strategies: readonly NamedStrategy[];
  readonly reference: string;
  readonly threshold: number | null;
  readonly currency: string;
  readonly effect: { readonly many: string; readonly each: string };
}

const markerRadius = 9;

type Points = { x: number; y: number }[];

/** The cost-effectiveness plane: draws as points, a 95% ellipse, the mean as a marker, and the threshold as a ray. */
export function plane(given: Plane, palette: Palette): ChartConfiguration<"scatter", Points> {
  const { pairs, draws, strategies, threshold } = given;
  const datasets: ChartDataset<"scatter", Points>[] = [];
  for (const { id, deltaCost, deltaEffect } of pairs) {
    const order = strategies.findIndex((one) => one.id === id);
    const { colour, dash, marker } = strategyStroke(palette, order);
    const drawn = draws.find((one) => one.id === id);
    datasets.push({
      label: strategies[order]?.label ?? id,
      data: [{ x: deltaEffect, y: deltaCost }],
      pointStyle: marker,
      pointRadius: markerRadius,
      pointHoverRadius: markerRadius,
      backgroundColor: colour,
      borderColor: palette.ground,
      borderWidth: 2,
      order: 1,
    });
    if (drawn === undefined) continue;
    datasets.push({
      label: "",
      data: drawn.points.map(([x, y]) => ({ x, y })),
      pointStyle: marker,
      pointRadius: 1.5,
      pointHoverRadius: 1.5,
      pointHitRadius: 0,
      backgroundColor: `${colour}40`,
      borderColor: "transparent",
      order: 4,
    });
    if (drawn.ellipse === null) continue;
    datasets.push({
      label: "",
      data: planeOutline(drawn.ellipse).map(([x, y]) => ({ x, y })),
      showLine: true,
      pointRadius: 0,
      pointHitRadius: 0,
      borderColor: colour,
      borderWidth: 2,
      borderDash: [...dash],
      order: 2,
    });
  }
  const { x, y } = extent(given);
  if (threshold !== null)
    datasets.push(ray(threshold, x, y, palette, `${moneyText(threshold)} for each ${given.effect.each}`));
  return {
    type: "scatter",
    data: { datasets },
    options: {
      animation: false,
      maintainAspectRatio: false,
      scales: {
        x: numberAxis(palette, `More ${given.effect.many} per person`, effectText, x),
        y: numberAxis(palette, `More cost, ${given.currency} per person`, moneyText, y),
      },
      plugins: {
        tooltip: {
          ...tooltip(palette),
          filter: ({ dataset }) => dataset.pointRadius === markerRadius,
          callbacks: {
            label: ({ dataset, parsed }) =>
              `${dataset.label}: ${exactMoneyText(parsed.y ?? 0)} ${given.currency}, ${effectText(parsed.x ?? 0)} ${given.effect.many}`,
          },
        },
      },
    },
    plugins: [endLabels, pointLabels(palette.ground), quadrantWords(palette.muted)],
  };
}

type Range = Required<Pick<AxisExtent, "min" | "max" | "step">>;

/** Room for markers, ellipses and zero. */
function extent({ pairs, draws }: Plane): { readonly x: Range; readonly y: Range } {
  const outlines = draws.flatMap(({ ellipse }) => planeOutline(ellipse));
  return {
    x: roundExtent([...pairs.map((one) => one.deltaEffect), ...outlines.map(([x]) => x)]),
    y: roundExtent([...pairs.map((one) => one.deltaCost), ...outlines.map(([, y]) => y)]),
  };
}

/** The line through the origin on which a strategy is neither worth it nor not, cut at the edge of the plot. */
function ray(threshold: number, x: Range, y: Range, palette: Palette, label: string): ChartDataset<"scatter", Points> {
  const right = threshold > 0 ? Math.min(x.max, y.max / threshold) : x.max;
  const left = threshold > 0 ? Math.max(x.min, y.min / threshold) : x.min;
  return {
    label,
    data: [
      { x: left, y: left * threshold },
      { x: right, y: right * threshold },
    ],
    showLine: true,
    pointRadius: 0,
    pointHitRadius: 0,
    borderColor: palette.muted,
    borderWidth: 1.5,
    borderDash: [1, 3],
    order: 3,
  };
}

/** The plane in a sentence. */
export function planeText({ pairs, strategies, reference, currency, effect, threshold }: Plane): string {
  const label = (id: string): string => strategies.find((one) => one.id === id)?.label ?? id;
  const parts = pairs.map(
    ({ id, deltaCost, deltaEffect }) =>
      `${label(id)}: ${exactMoneyText(deltaCost)} ${currency} and ${effectText(deltaEffect)} ${effect.many}`,
  );
  const line =
    threshold === null
      ? ""
      : ` Below the line of ${moneyText(threshold)} for each ${effect.each} a pathway is worth more than ${label(reference)}.`;
  return `More cost and more ${effect.many} than ${label(reference)}. ${parts.join(". ")}.${line}`;
}
