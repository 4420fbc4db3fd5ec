import type { Findings, Place } from "../errors.ts";
import { type Document, placeIn } from "../schema/document.ts";
import type { Source } from "../schema/evidence.ts";
import type { Scenario } from "../schema/scenario.ts";

/** One step from a money to another, such as `USD 2019` to `USD 2025` by an index, or to `EUR 2019` by a rate. */
export interface MoneyStep {
  readonly from: string;
  readonly to: string;
  /** The name of the index, or what kind of rate it is. */
  readonly by: string;
  readonly factor: number;
  /** Values of the index in the two years, where the factor is their quotient. */
  readonly values: readonly [number, number] | null;
  readonly source: Source;
}

/** How reported money became the scenario's: the steps in turn and the product of their factors. */
export interface MoneyWay {
  readonly from: string;
  readonly to: string;
  readonly factor: number;
  readonly steps: readonly MoneyStep[];
}

/** The scenario's money and the conversions it states. */
export interface Money {
  readonly currency: string;
  readonly priceYear: number | null;
  /** The way from a currency's prices of a year to the scenario's money, or the money at which it ends before. */
  readonly way: (currency: string, year: number) => MoneyWay | { readonly endsAt: string; readonly target: string };
}

/** What a value says of the money it is reported in; `note` is told each way taken. */
export interface PriceContext {
  readonly money: Money;
  /** Year of the prices; absent: the scenario's own, of amounts in its currency. */
  readonly year?: number;
  readonly note?: (way: MoneyWay) => void;
}

const moneyShape = /^([A-Z]{3}) (\d{4})$/;

/**
 * The scenario's money with the conversions it states, each money having one step onwards. Mistakes go to the findings:
 * no currency and year, a step that changes both or neither, neither or both of factor and values, no source, a circle.
 */
export function readMoney(scenario: Document<Scenario>, findings: Findings): Money {
  const given = scenario.data.settings.money;
  const currency = given?.unit ?? "";
  const priceYear = given?.price_year ?? null;
  const target = `${currency} ${priceYear ?? ""}`.trim();
  const steps = new Map<string, MoneyStep>();
  for (const [from, { to, by, factor, values, source }] of Object.entries(given?.conversions ?? {})) {
    const path = ["settings", "money", "conversions", from];
    const key = placeIn(scenario, path, true);
    const [start, end] = [moneyShape.exec(from), moneyShape.exec(to)];
    const expected = "a currency and the year of its prices, such as USD 2019";
    if (start === null) findings.add(key, "wrong-shape", from, expected);
    if (end === null) findings.add(placeIn(scenario, [...path, "to"]), "wrong-shape", to, expected);
    if (start !== null && end !== null && (start[1] === end[1]) === (start[2] === end[2])) {
      const why = "one step changes the year by an index, or the currency by a rate";
      findings.add(placeIn(scenario, [...path, "to"]), "inconsistent-keys", [from, to], why);
    }
    if ((factor === undefined) === (values === undefined))
      findings.add(
        key,
        "inconsistent-keys",
        ["factor", "values"],
        "give the factor, or the index values of both years",
      );
    if (source === undefined) findings.add(key, "source-missing", `the conversion from ${from}`);
    const found = factor ?? (values === undefined ? 1 : values[1] / values[0]);
    if (!(found > 0 && Number.isFinite(found))) {
      const at = placeIn(scenario, [...path, factor === undefined ? "values" : "factor"]);
      findings.add(at, "out-of-range", "a factor of conversion", String(found), "more than 0");
    }
    steps.set(from, { from, to, by, factor: found, values: values ?? null, source: source ?? "" });
  }
  for (const from of steps.keys()) {
    const { names, closed } = walk(from);
    if (closed) findings.add(placeIn(scenario, ["settings", "money", "conversions", from], true), "circular", names);
  }

  /** The names of the money passed from one to the target, or to where it ends. */
  function walk(from: string): { readonly names: readonly string[]; readonly closed: boolean } {
    const names = [from];
    for (let at = from; at !== target; ) {
      const step = steps.get(at);
      if (step === undefined) break;
      at = step.to;
      names.push(at);
      if (names.indexOf(at) < names.length - 1) return { names, closed: true };
    }
    return { names, closed: false };
  }

  return {
    currency,
    priceYear,
    way(from, year) {
      const { names } = walk(`${from} ${year}`);
      const last = names.at(-1)!;
      if (last !== target) return { endsAt: last, target };
      const taken = names.slice(0, -1).map((name) => steps.get(name)!);
      return { from: names[0]!, to: target, factor: taken.reduce((all, { factor }) => all * factor, 1), steps: taken };
    },
  };
}

/**
 * What a number in a currency is multiplied by to be in the scenario's money, or undefined with a finding.
 * Adds currency-differs (no conversion can be looked for), missing-key, conversion-missing.
 */
export function moneyFactor(
  currency: string | undefined,
  expected: { readonly currency: string; readonly price?: PriceContext },
  place: Place,
  findings: Findings,
): number | undefined {
  const { price } = expected;
  if (currency === undefined || (currency === expected.currency && price?.year === undefined)) return 1;
  if (price?.year === undefined) {
    findings.add(place, "currency-differs", currency, expected.currency);
    return undefined;
  }
  const { money, year } = price;
  if (money.priceYear === null) {
    findings.add(place, "missing-key", "settings.money.price_year");
    return undefined;
  }
  if (currency === money.currency && year === money.priceYear) return 1;
  const way = money.way(currency, year);
  if ("endsAt" in way) {
    const [end, target] = [way.endsAt.split(" "), way.target.split(" ")];
    // a step changes one of the two: first the year, by the index of the currency reached
    const next = end[0] === target[0] || end[1] === target[1] ? way.target : `${end[0]} ${target[1]}`;
    findings.add(place, "conversion-missing", `${currency} ${year}`, way.endsAt, way.target, next);
    return undefined;
  }
  price.note?.(way);
  return way.factor;
}
