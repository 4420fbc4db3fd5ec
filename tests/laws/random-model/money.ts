import type { Draft, Section } from "./draft.ts";
import { randomSource } from "./sources.ts";

/** The scenario's money: its currency, its price year and, where amounts are reported in other money, the steps to it. */
export function randomMoney(draft: Draft): Section {
  const { dice, currency, reportsOtherMoney } = draft;
  if (!reportsOtherMoney) return { unit: currency, ...(dice.chance(50) ? { price_year: 2025 } : {}) };
  const source = () => ({ source: randomSource(draft) });
  return {
    unit: currency,
    price_year: 2025,
    conversions: {
      "CHF 2019": { to: "CHF 2023", by: "invented prices", values: [100, 112.5], ...source() },
      "CHF 2023": { to: `${currency} 2023`, by: "exchange rate", factor: 0.875, ...source() },
      [`${currency} 2019`]: { to: `${currency} 2023`, by: "invented prices", factor: 1.125, ...source() },
      [`${currency} 2023`]: { to: `${currency} 2025`, by: "invented prices", values: [112, 119], ...source() },
    },
  };
}

/** A unit with `$` for the currency as some amounts of the case are reported, and the year of their prices if not the scenario's. */
export function reportedUnit(draft: Draft, unit: string): { readonly unit: string; readonly year: Section } {
  const { dice, currency } = draft;
  if (!unit.includes("$") || !draft.reportsOtherMoney || !dice.chance(40))
    return { unit: unit.replace("$", currency), year: {} };
  const price_year = dice.one([2019, 2023, 2025]);
  const there = price_year === 2025 ? currency : dice.one(["CHF", currency]);
  return { unit: unit.replace("$", there), year: { price_year } };
}
