import type { Draft, Section, Tree } from "./draft.ts";
import { randomMoney } from "./money.ts";

/** Random settings: horizon, money, discounting, counting, perspectives, what is compared. */
export function randomSettings(draft: Draft, bearers: readonly string[]): Section {
  const { dice, grid, strategies } = draft;
  const compare = dice.chance(40) ? dice.some(strategies, 2, strategies.length) : null;
  const effect = dice.one(["qaly", "qaly", "life_years"]);
  const unit = effect === "qaly" ? "QALY" : "year";
  const named = bearers.length > 0 && dice.chance(60);
  const perspectives: Section = { payer: dice.some(bearers, 1, 2), society: bearers };
  return {
    money: randomMoney(draft),
    ...(dice.chance(15) ? randomJurisdiction(draft, unit) : {}),
    horizon: draft.span(grid.cycles),
    ...(compare === null ? {} : { compare }),
    ...(dice.chance(40) ? { reference: dice.one(compare ?? strategies) } : {}),
    effect,
    ...(dice.chance(30) ? { cost: "cost" } : {}),
    ...(named ? { perspectives } : {}),
    ...(named && dice.chance(50) ? { perspective: dice.one(["payer", "society"]) } : {}),
    ...(dice.chance(85) ? { discount: randomDiscount(draft) } : {}),
    ...(dice.chance(60) ? { thresholds: [0, 20000, 50000].map((x) => `${x} ${draft.currency}/${unit}`) } : {}),
    ...(dice.chance(85) ? { counting: randomCounting(draft) } : {}),
    ...(dice.chance(50) ? { events_at: dice.one(["start", "middle", "end"]) } : {}),
    ...(dice.chance(30) ? { follow_up: draft.span(dice.whole(1, 6)) } : {}),
  };
}

/** A jurisdiction with its file; its thresholds are in the scenario's money. */
function randomJurisdiction(draft: Draft, unit: string): Section {
  const thresholds = draft.dice.chance(50) ? `\n  thresholds: [30000 ${draft.currency}/${unit}]` : "";
  const falling = "[{ rate: 4% / year }, { after: 2 years, rate: 3% / year }]";
  const stored = `  label: Somewhere\n  year: 2020\n  discount: { costs: 3.5% / year, effects: ${falling} }${thresholds}`;
  const marks = "  source: invented\n  confidence: low\n  from_memory: [discount]\n";
  draft.files.set("models/jurisdictions.yaml", `somewhere-2020:\n${stored}\n${marks}`);
  return { jurisdiction: "somewhere-2020" };
}

function randomDiscount(draft: Draft): Section {
  const { dice } = draft;
  const rate = () =>
    dice.way<Tree>(
      () => `${dice.number(0, 8)}% / year`,
      () => `${dice.number(0, 8)}%`,
      () => dice.number(0, 0.08),
    );
  const steps = () => [{ rate: rate() }, { after: dice.one(["3 months", "1 year", "30 months"]), rate: rate() }];
  const one = () => (dice.chance(30) ? steps() : rate());
  return {
    ...(dice.chance(90) ? { costs: one() } : {}),
    ...(dice.chance(90) ? { effects: one() } : {}),
    ...(dice.chance(60) ? { timing: dice.one(["exact", "whole years"]) } : {}),
  };
}

function randomCounting(draft: Draft): Tree {
  const { dice, grid, calm } = draft;
  if (calm && grid.cycles % 2 === 0 && dice.chance(60)) return "simpson";
  return dice.way<Tree>(
    () => dice.one(["middle", "start", "end", "trapezoid"]),
    () => dice.one(["middle", "start", "end", "trapezoid"]),
    () => ({
      weights: { first: "1/2", repeat: dice.one<Tree>([[1], ["2/3", "4/3"]]) as readonly Tree[], last: "1/2" },
    }),
    () => ({ weights: Array.from({ length: grid.cycles + 1 }, () => dice.one<Tree>(["1/3", 1, 0.5])) }),
  );
}
