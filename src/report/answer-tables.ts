import { capitalised, countText, effectText, exactMoneyText, moneyText, shareText, yearsText } from "./format.ts";
import type { QuestionId, ResultDocument } from "./result.ts";
import type { TextTable } from "./table-text.ts";

/** The tables under each answer, as data; the first column names the row. */
export function answerTables(
  document: ResultDocument,
  question: QuestionId,
): readonly (TextTable & { readonly title: string })[] {
  const { compared, costs, worth } = document.answers;
  const ids = compared.strategies.map(({ id }) => id);
  const labels = compared.strategies.map(({ label }) => label);
  const label = (id: string | null): string =>
    id === null ? "" : (compared.strategies.find((one) => one.id === id)?.label ?? id);
  switch (question) {
    case "compared": {
      const used = compared.resources.filter((row) => ids.some((id) => row.perThousand[id]! > 0));
      const happened = compared.events.filter(
        (row) => !row.id.includes(".") && ids.some((id) => row.perThousand[id]! > 0),
      );
      return [
        {
          title: "Who",
          header: ["Group", "Share"],
          rows: compared.population.map((group) => [group.label, shareText(group.share)]),
        },
        {
          title: "What happens to 1,000 people",
          header: ["Event", ...labels],
          rows: happened.map((row) => [capitalised(row.label), ...ids.map((id) => countText(row.perThousand[id]!))]),
        },
        {
          title: "What is used for 1,000 people",
          header: ["Resource", "Unit", ...labels],
          rows: used.map((row) => [
            capitalised(row.label),
            row.unit,
            ...ids.map((id) => countText(row.perThousand[id]!)),
          ]),
        },
      ];
    }
    case "works": {
      const { works } = document.answers;
      const last = works.accounts.map((account) => ({ account, at: account.at.at(-1)! }));
      return [
        {
          title: "Per person to the horizon",
          header: ["Outcome", "Unit", ...labels],
          rows: [
            ...last.map(({ account, at }) => [
              account.discounted ? `${account.label}, discounted` : account.label,
              account.unit,
              ...ids.map((id) => effectText(at.values[id]!)),
            ]),
            ["Life years, undiscounted", "year", ...ids.map((id) => effectText(works.lifeYears[id]!))],
          ],
        },
      ];
    }
    case "costs":
      return [
        {
          title: `Per person, discounted, ${costs.currency}`,
          header: ["Line", "Borne by", ...labels],
          rows: [
            ...costs.lines.map((line) => [
              line.label,
              line.bearer ?? "",
              ...ids.map((id) => exactMoneyText(line.discounted[id]!)),
            ]),
            [
              costs.perspective === "all" ? "Total" : `Total as the ${costs.perspective} sees it`,
              "",
              ...ids.map((id) => exactMoneyText(costs.total[id]!)),
            ],
          ],
        },
        ...(costs.at === null
          ? []
          : [
              {
                title: `By then, discounted, ${costs.currency}`,
                header: ["After", ...labels],
                rows: costs.at.map((row) => [
                  yearsText(row.years),
                  ...ids.map((id) => exactMoneyText(row.values[id]!)),
                ]),
              },
            ]),
      ];
    case "worth":
      return [
        {
          title: "Full incremental analysis",
          header: ["Strategy", "Cost", "Effect", "More cost", "More effect", "Per unit gained", "Standing", "Against"],
          rows: worth.increments.map((row) => {
            const first = row.against === null;
            return [
              label(row.id),
              exactMoneyText(row.cost),
              effectText(row.effect),
              first ? "" : exactMoneyText(row.deltaCost),
              first ? "" : effectText(row.deltaEffect),
              row.icer === null ? "" : moneyText(row.icer),
              row.status,
              label(row.against),
            ];
          }),
        },
        {
          title: "Best at each threshold",
          header: ["Threshold", "Best", ...labels.map((one) => `Net benefit: ${one}`)],
          rows: worth.thresholds.map((threshold) => {
            const key = String(threshold);
            return [
              moneyText(threshold),
              label(worth.best[key] ?? null),
              ...worth.strategies.map(({ netBenefit }) => exactMoneyText(netBenefit[key]!)),
            ];
          }),
        },
      ];
    case "sure": {
      const { sure } = document.answers;
      if (sure === undefined) return [];
      const at = worth.thresholds.map((threshold) => sure.acceptability.thresholds.indexOf(threshold));
      return [
        {
          title: "Means over draws, with 95% interval",
          header: [
            "Strategy",
            `Cost, ${costs.currency}`,
            "Interval",
            "Error of mean",
            "Effect",
            "Interval",
            "Error of mean",
          ],
          rows: sure.strategies.map(({ id, cost, effect }) => [
            label(id),
            exactMoneyText(cost.mean),
            `${exactMoneyText(cost.low)} to ${exactMoneyText(cost.high)}`,
            exactMoneyText(cost.mcse),
            effectText(effect.mean),
            `${effectText(effect.low)} to ${effectText(effect.high)}`,
            effectText(effect.mcse),
          ]),
        },
        {
          title: "Against the reference, with 95% interval",
          header: ["Strategy", `More cost, ${costs.currency}`, "Interval", "More effect", "Interval"],
          rows: sure.pairs.map(({ id, deltaCost, deltaEffect }) => [
            label(id),
            exactMoneyText(deltaCost.mean),
            `${exactMoneyText(deltaCost.low)} to ${exactMoneyText(deltaCost.high)}`,
            effectText(deltaEffect.mean),
            `${effectText(deltaEffect.low)} to ${effectText(deltaEffect.high)}`,
          ]),
        },
        {
          title: "Share of draws in which each is best, by threshold",
          header: ["Threshold", ...labels, "To choose", "Right in", "Value of perfect information"],
          rows: worth.thresholds.map((threshold, i) => [
            moneyText(threshold),
            ...ids.map((id) => shareText(sure.acceptability.curves[id]![at[i]!]!)),
            label(sure.acceptability.best[at[i]!]!),
            shareText(sure.acceptability.frontier[at[i]!]!),
            moneyText(sure.evpi[at[i]!]!),
          ]),
        },
      ];
    }
  }
}
