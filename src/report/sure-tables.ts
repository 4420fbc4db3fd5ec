import { countText, exactMoneyText, moneyText, shareText } from "./format.ts";
import type { SurePair } from "./sure.ts";
import type { SureAnswer } from "./sure-answer.ts";
import type { TextTable } from "./table-text.ts";
import type { NamedStrategy } from "./time-tables.ts";

/** In what share of the draws each strategy lies in which quadrant, seen from the reference. */
export function quadrantTable(sure: SureAnswer, strategies: readonly NamedStrategy[]): TextTable {
  return {
    header: [
      "Strategy",
      "Costs more, yields more",
      "Saves, yields more",
      "Costs more, yields less",
      "Saves, yields less",
    ],
    rows: sure.pairs.map((pair) => [labelOf(strategies, pair.id), ...quadrantShares(pair)]),
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
