import type { Findings, Place } from "../errors.ts";
import { quantityIn } from "../evidence/read-quantity.ts";
import { combined, isNone, money, none, perTime, sameDimension, time } from "../schema/dimension.ts";
import type { Step } from "../schema/located.ts";
import { nearestNames } from "../schema/nearest.ts";
import { readQuantity } from "../schema/quantity.ts";
import type { DiscountRate, Settings } from "../schema/scenario.ts";
import { type Context, indexOf, scenarioPlace } from "./context.ts";
import { readCounting } from "./counting.ts";
import type { Account, Analysis, DiscountStep, Entry, EventForm, TimeGrid } from "./program.ts";
import { wholeCycles } from "./structure.ts";

const cycleLimit = 5000;

/** A duration in years; 1 with a finding where it is none. */
export function readDuration(text: string | number, cycleYears: number, place: Place, findings: Findings): number {
  const quantity = readQuantity(text, cycleYears);
  if ("problem" in quantity) {
    if (quantity.problem === "unit") findings.add(place, "unknown-unit", quantity.unit, quantity.near);
    else findings.add(place, "quantity-syntax", quantity.text);
    return 1;
  }
  if (!sameDimension(quantity.dimension, time) && !(quantity.value === 0 && isNone(quantity.dimension))) {
    findings.add(place, "unit-mismatch", String(text), "a duration such as 20 years");
    return 1;
  }
  if (quantity.value < 0) findings.add(place, "out-of-range", "a duration", String(text), "0 or more");
  return Math.max(0, quantity.value);
}

/** The grid of time of a scenario. Mistakes go to the findings. */
export function readGrid(
  settings: Settings,
  cycleYears: number,
  evaluate: "middle" | "start",
  context: { readonly findings: Findings; placeOf(path: readonly Step[]): Place },
): TimeGrid {
  const { findings } = context;
  const place = context.placeOf(["settings", "horizon"]);
  const cyclesPerYear =
    Math.abs(1 / cycleYears - Math.round(1 / cycleYears)) < 1e-9 ? Math.round(1 / cycleYears) : 1 / cycleYears;
  const grid: TimeGrid = { cycleYears, cyclesPerYear, cycles: 1, evaluateAt: evaluate === "start" ? 0 : 0.5 };
  const years = readDuration(settings.horizon, cycleYears, place, findings);
  try {
    const cycles = wholeCycles(years, grid, "horizon", place);
    if (cycles < 1) findings.add(place, "out-of-range", "horizon", String(settings.horizon), "one cycle or more");
    else if (cycles > cycleLimit) findings.add(place, "too-many-cycles", cycles, cycleLimit);
    else return { ...grid, cycles };
  } catch (error) {
    findings.catch(error);
  }
  return grid;
}

/** How the scenario wants the model analysed. Mistakes go to the findings. */
export function readAnalysis(
  context: Context,
  grid: TimeGrid,
  accounts: readonly Account[],
  entries: readonly Entry[],
  events: readonly EventForm[],
): Analysis {
  const { settings } = context.scenario.data;
  const { scope, money: prices, findings } = context;
  const at = (...path: readonly Step[]): Place => scenarioPlace(context, ["settings", ...path]);
  const names = accounts.map((account) => account.name);
  const account = (key: "cost" | "effect", otherwise: string | undefined): number | undefined => {
    const name = settings[key] ?? otherwise;
    if (name === undefined) {
      findings.add(scenarioPlace(context, ["settings"], true), "missing-key", `settings.${key}`);
      return undefined;
    }
    const place = settings[key] === undefined ? scenarioPlace(context, ["settings"], true) : at(key);
    return indexOf(context, "account", name, names, place, nearestNames(name, names));
  };
  const strategy = (id: string, ...path: readonly Step[]): number | undefined =>
    indexOf(context, "strategy", id, scope.strategies, at(...path), nearestNames(id, scope.strategies));

  const compare = (settings.compare ?? scope.strategies).flatMap((id, i) => {
    const index = strategy(id, "compare", i);
    if (settings.compare !== undefined && settings.compare.indexOf(id) !== i)
      findings.add(at("compare", i), "duplicate-name", id, "compare");
    return index === undefined ? [] : [index];
  });
  if (compare.length === 0) findings.add(at("compare"), "empty-list", "compare");
  const reference = settings.reference === undefined ? compare[0] : strategy(settings.reference, "reference");
  if (reference !== undefined && compare.length > 0 && !compare.includes(reference)) {
    const known = compare.map((index) => scope.strategies[index]!);
    findings.add(at("reference"), "unknown-reference", "strategy under compare", settings.reference ?? "", [], known);
  }
  const cost = account("cost", names.includes("cost") ? "cost" : accounts.find((one) => one.isMoney)?.name);
  const effect = account("effect", names.includes("qaly") ? "qaly" : accounts.find((one) => !one.isMoney)?.name);
  if (cost !== undefined && !accounts[cost]!.isMoney)
    findings.add(at("cost"), "unit-mismatch", accounts[cost]!.unit, "an account in money");
  if (effect !== undefined && accounts[effect]!.isMoney)
    findings.add(at("effect"), "unit-mismatch", "money", "an account of effects");
  const perEffect = combined(money, effect === undefined ? none : accounts[effect]!.dimension, -1);
  const thresholds = (effect === undefined ? [] : (settings.thresholds ?? [])).flatMap((text, i) => {
    const value = quantityIn(
      text,
      {
        dimension: perEffect,
        currency: scope.currency,
        cycleYears: grid.cycleYears,
        // a threshold is of the year in which it is applied: another currency's is converted, but not indexed
        ...(prices.priceYear === null ? {} : { price: { money: prices, year: prices.priceYear } }),
      },
      at("thresholds", i),
      findings,
    );
    if (value !== undefined && value < 0)
      findings.add(at("thresholds", i), "out-of-range", "a threshold", String(text), "0 or more");
    return value === undefined ? [] : [value];
  });
  const bearers = new Set(entries.flatMap((entry) => (entry.bearer === null ? [] : [entry.bearer])));
  const perspectives = Object.entries(settings.perspectives ?? {}).map(([name, list]) => {
    for (const [i, bearer] of list.entries()) {
      if (!bearers.has(bearer))
        findings.add(
          at("perspectives", name, i),
          "unknown-reference",
          "bearer of costs",
          bearer,
          nearestNames(bearer, bearers),
          [...bearers],
        );
    }
    return { name, bearers: list as readonly string[] | null };
  });
  if (perspectives.length === 0) perspectives.push({ name: settings.perspective ?? "all", bearers: null });
  const perspective = settings.perspective ?? perspectives[0]!.name;
  if (!perspectives.some(({ name }) => name === perspective)) {
    const known = perspectives.map(({ name }) => name);
    findings.add(
      at("perspective"),
      "unknown-reference",
      "perspective",
      perspective,
      nearestNames(perspective, known),
      known,
    );
  }
  const counting = readCounting(
    settings.counting ?? "middle",
    grid,
    events,
    (...path) => at("counting", ...path),
    findings,
  );
  const eventsAt = { start: 0, middle: 0.5, end: 1 }[
    settings.events_at ?? (counting.rule === "start" || counting.rule === "end" ? counting.rule : "middle")
  ];
  return {
    currency: scope.currency,
    priceYear: settings.money?.price_year ?? null,
    compare,
    reference: reference ?? 0,
    cost: cost ?? 0,
    effect: effect ?? 0,
    thresholds,
    perspective,
    perspectives,
    horizonYears: grid.cycles / grid.cyclesPerYear,
    followUpYears:
      settings.follow_up === undefined
        ? null
        : readDuration(settings.follow_up, grid.cycleYears, at("follow_up"), findings),
    discount: {
      costs: discountSteps(
        settings.discount?.costs,
        grid,
        scope.currency,
        (...path) => at("discount", "costs", ...path),
        findings,
      ),
      effects: discountSteps(
        settings.discount?.effects,
        grid,
        scope.currency,
        (...path) => at("discount", "effects", ...path),
        findings,
      ),
      wholeYears: settings.discount?.timing === "whole years",
    },
    counting,
    eventsAt,
  };
}

function discountSteps(
  given: DiscountRate | undefined,
  grid: TimeGrid,
  currency: string,
  at: (...path: readonly Step[]) => Place,
  findings: Findings,
): readonly DiscountStep[] {
  const rate = (text: string | number, place: Place): number => {
    const bare = typeof text === "number" || !/[A-Za-z]/.test(text);
    const value = quantityIn(
      bare && typeof text === "string" ? `${text} / year` : text,
      {
        dimension: perTime,
        currency,
        cycleYears: grid.cycleYears,
        ...(bare ? { bare: { dimension: perTime, factor: 1 } } : {}),
      },
      place,
      findings,
    );
    if (value === undefined) return 0;
    if (!(value > -0.5 && value < 1))
      findings.add(place, "out-of-range", "a discount rate", String(text), "0 to below 100% a year");
    return value;
  };
  if (given === undefined) return [{ afterYears: 0, rate: 0 }];
  if (!Array.isArray(given)) return [{ afterYears: 0, rate: rate(given, at()) }];
  const steps = given.map((step, i) => ({
    afterYears: step.after === undefined ? 0 : readDuration(step.after, grid.cycleYears, at(i, "after"), findings),
    rate: rate(step.rate, at(i, "rate")),
  }));
  if (steps.length === 0 || steps[0]!.afterYears !== 0)
    findings.add(
      at(),
      "evidence-invalid",
      "discount steps that do not begin at 0",
      "give the first step without after",
    );
  if (steps.some((step, i) => i > 0 && !(step.afterYears > steps[i - 1]!.afterYears)))
    findings.add(at(), "evidence-invalid", "discount steps that do not rise in time", "order the steps by after");
  return steps.length === 0 ? [{ afterYears: 0, rate: 0 }] : steps;
}
