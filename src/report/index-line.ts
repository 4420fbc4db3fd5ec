import { effectName } from "./effect-account.ts";
import { capitalised, countText, effectText, moneyText, shareText, yearsText } from "./format.ts";
import type { QuestionId, ResultDocument } from "./result.ts";

/**
 * An answer in one line, for an index: shorter than its headline, and never more than it says. The money unit of
 * `worth` stands in the costs.
 */
export function indexLine(document: ResultDocument, question: QuestionId): string {
  const { compared, costs, worth, sure } = document.answers;
  const label = (id: string): string => compared.strategies.find((one) => one.id === id)?.label ?? id;
  switch (question) {
    case "compared": {
      const groups = compared.population.length;
      return `${counted(compared.strategies.length, "pathway")}, ${counted(groups, "group")}, ${yearsText(compared.horizonYears)}`;
    }
    case "works": {
      // base values, as in the headline of this question
      const gains = worth.base.pairs.map(({ deltaEffect }) => deltaEffect);
      const { many } = effectName(document);
      if (gains.length === 0) return `${effectText(worth.base.strategies[0]!.effect)} ${many} per person`;
      return `${span(gains, signedEffect)} ${many} per person`;
    }
    case "costs":
      return `${span(Object.values(costs.total), moneyText)} ${costs.currency} per person`.replace("  ", " ");
    case "worth": {
      const middle = worth.thresholds[Math.floor((worth.thresholds.length - 1) / 2)];
      if (middle === undefined || worth.strategies.length < 2)
        return worth.strategies.length < 2 ? "One pathway alone" : "";
      return `${label(worth.best[String(middle)]!)}, at ${moneyText(middle)}`;
    }
    case "sure": {
      const middle = worth.thresholds[Math.floor((worth.thresholds.length - 1) / 2)];
      if (sure === undefined) return "No draws yet";
      const at = middle === undefined ? -1 : sure.acceptability.thresholds.indexOf(middle);
      const draws = `${countText(sure.draws)} draws`;
      return at < 0 ? draws : `Right in ${shareText(sure.acceptability.frontier[at]!)} of ${draws}`;
    }
  }
}

const counted = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`;

const signedEffect = (value: number): string => `${value > 0 ? "+" : ""}${effectText(value)}`;

/** The lowest and highest of some values in words, one of them where they read the same. */
function span(values: readonly number[], text: (value: number) => string): string {
  const low = text(Math.min(...values));
  const high = text(Math.max(...values));
  return capitalised(low === high ? low : `${low} to ${high}`);
}
