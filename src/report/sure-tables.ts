import { countText, effectText, exactMoneyText, moneyText, shareText } from "./format.ts";
import type { SurePair } from "./sure.ts";
import type { SureAnswer } from "./sure-answer.ts";
import type { TextTable } from "./table-text.ts";
import type { NamedStrategy } from "./time-tables.ts";

const range = (low: number, high: number, text: (value: number) => string): string => `${text(low)} to ${text(high)}`;

/** Cost and effect of each strategy over the draws: mean, its Monte Carlo error, and the middle 95%. */
export function drawsTable(sure: SureAnswer, strategies: readonly NamedStrategy[]): TextTable {
  return {
    header: ["Strategy", "Cost", "± error", "95% interval", "Effect", "± error", "95% interval"],
    rows: sure.strategies.map(({ id, cost, effect }) => [
      labelOf(strategies, id),
      exactMoneyText(cost.mean),
      exactMoneyText(cost.mcse),
      range(cost.low, cost.high, exactMoneyText),
      effectText(effect.mean),
      effectText(effect.mcse),
      range(effect.low, effect.high, effectText),
    ]),
  };
}

/** Each strategy against the reference over the draws: differences with intervals, and the share in each quadrant. */
export function pairTable(sure: SureAnswer, strategies: readonly NamedStrategy[]): TextTable {
  return {
    header: [
      "Strategy",
      "More cost",
      "95% interval",
      "More effect",
      "95% interval",
      "Costs more, yields more",
      "Saves, yields more",
      "Costs more, yields less",
      "Saves, yields less",
    ],
    rows: sure.pairs.map((pair) => [
      labelOf(strategies, pair.id),
      exactMoneyText(pair.deltaCost.mean),
      range(pair.deltaCost.low, pair.deltaCost.high, exactMoneyText),
      effectText(pair.deltaEffect.mean),
      range(pair.deltaEffect.low, pair.deltaEffect.high, effectText),
      ...quadrantShares(pair),
    ]),
  };
}

function quadrantShares({ quadrants }: SurePair): readonly string[] {
  const inAll = Object.values(quadrants).reduce((sum, share) => sum + share, 0);
  const share = (count: number): string => shareText(inAll === 0 ? 0 : count / inAll);
  return [
    share(quadrants["costs more and yields more"]),
    share(quadrants.dominates),
    share(quadrants["is dominated"]),
    share(quadrants["costs less and yields less"]),
  ];
}

/** At chosen thresholds: how often each strategy is best, which one to choose, and what certainty would be worth. */
export function acceptabilityTable(
  sure: SureAnswer,
  strategies: readonly NamedStrategy[],
  asked: readonly number[],
): TextTable {
  const { thresholds, curves, best, frontier } = sure.acceptability;
  return {
    header: [
      "Threshold",
      "To choose",
      "Is best in",
      ...strategies.map(({ label }) => `Best: ${label}`),
      "Worth of certainty",
      "± error",
    ],
    rows: asked.flatMap((threshold) => {
      const at = thresholds.indexOf(threshold);
      if (at < 0) return [];
      const error = sure.evpiError[at] ?? null;
      return [
        [
          moneyText(threshold),
          labelOf(strategies, best[at]!),
          shareText(frontier[at]!),
          ...strategies.map(({ id }) => shareText(curves[id]?.[at] ?? 0)),
          exactMoneyText(sure.evpi[at]!),
          error === null ? "" : exactMoneyText(error),
        ],
      ];
    }),
  };
}

/** Whether the draws suffice at each threshold. */
export function sufficiencyTable(sure: SureAnswer, strategies: readonly NamedStrategy[]): TextTable {
  return {
    header: ["Threshold", "Best", "Second", "Lead in net benefit", "± error", "Draws"],
    rows: sure.sufficiency.map((one) => [
      moneyText(one.threshold),
      labelOf(strategies, one.best),
      one.second === null ? "" : labelOf(strategies, one.second),
      exactMoneyText(one.gap),
      exactMoneyText(one.mcse),
      verdictText(one),
    ]),
  };
}

function verdictText({ verdict, drawsNeeded }: SureAnswer["sufficiency"][number]): string {
  if (verdict === "enough") return "enough";
  if (verdict === "tied") return "tied";
  return drawsNeeded === null ? "more are needed" : `about ${countText(drawsNeeded)} are needed`;
}

const labelOf = (strategies: readonly NamedStrategy[], id: string): string =>
  strategies.find((one) => one.id === id)?.label ?? id;
