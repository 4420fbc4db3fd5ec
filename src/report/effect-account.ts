import type { ResultDocument } from "./result.ts";
import type { AccountRow } from "./works.ts";

/** How the effect that decides is named: `QALY`, `life years`; one of it after "each"; its unit. */
export interface EffectName {
  readonly many: string;
  readonly each: string;
  readonly unit: string;
}

/** The account that the analysis takes as its effect: the one whose totals are the effects of the base case. */
export function effectAccount({ answers }: ResultDocument): AccountRow | undefined {
  const { strategies } = answers.worth.base;
  return answers.works.accounts.find(({ id, at }) =>
    strategies.every(
      (strategy) => strategy.effects[id] === strategy.effect && at.at(-1)?.values[strategy.id] === strategy.effect,
    ),
  );
}

/** The words for the effect, on axes and in tables. */
export function effectName(document: ResultDocument): EffectName {
  const account = effectAccount(document);
  if (account === undefined) return { many: "effect", each: "unit", unit: "" };
  if (account.unit === "QALY") return { many: "QALY", each: "QALY", unit: "QALY" };
  const many = account.label.toLowerCase();
  return { many, each: many.replace(/s$/, ""), unit: account.unit };
}
