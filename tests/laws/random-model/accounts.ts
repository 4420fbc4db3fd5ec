import type { Audience, Draft, Section, Tree } from "./draft.ts";
import { randomWhile } from "./events.ts";
import { penFor } from "./expressions.ts";
import type { Pen } from "./pen.ts";
import { hourlyCost, minuteCost } from "./quantities.ts";

const bearers = ["payer", "patient", "employer"] as const;

/** Random resources with prices, by unit of time or by piece. */
export function randomResources(draft: Draft): Section {
  const { dice } = draft;
  const section: Section = {};
  for (const [name, unit] of dice.some(
    [
      ["clinic_time", "minute"],
      ["bed_hours", "hour"],
      ["device", "piece"],
      ["scans", "scan"],
      ["bandages", "bandage"],
    ] as const,
    0,
    4,
  )) {
    const pen = penFor(draft, draft.everyone(false));
    section[name] = {
      in: unit,
      price:
        unit === "minute" || unit === "hour" ? timePrice(draft, unit) : pen.write(dice.one(["money", "case cost"]), 2),
      ...(dice.chance(60) ? { borne_by: dice.one(bearers) } : {}),
      ...(dice.chance(60) ? { line: dice.one(["placement", "follow_up"]) } : {}),
      ...(dice.chance(30) ? { label: `Use of ${name}` } : {}),
    };
    draft.resources.push({ name, unit });
  }
  return section;
}

function timePrice(draft: Draft, unit: "minute" | "hour"): string {
  const pen = penFor(draft, draft.everyone(false));
  return draft.dice.way(
    () => pen.input(unit === "minute" ? minuteCost : hourlyCost),
    () => `${pen.write("yearly cost", 2)} * ${pen.write("scale", 2)}`,
  );
}

/** The accounts of a case: money, quality-adjusted life years, years of life, counts and a unit of its own. */
export function randomAccounts(draft: Draft): Section {
  const { dice } = draft;
  const section: Section = { cost: moneyAccount(draft, true) };
  if (dice.chance(25)) section["out_of_pocket"] = moneyAccount(draft, false);
  section["qaly"] = {
    in: "QALY",
    ...discounted(draft, "effects"),
    lines: lines(
      draft,
      (pen) => pen.write("utility"),
      (pen) => `${pen.write("utility", 2)} * ${pen.write("duration", 2)}`,
    ),
  };
  section["life_years"] = { in: "year", discount: "none", lines: { lived: { amount: 1, while: "alive" } } };
  if (dice.chance(30))
    section["clinic_hours"] = {
      in: "hour",
      lines: lines(
        draft,
        (pen) => pen.write("fraction"),
        (pen) => pen.write("duration"),
      ),
    };
  if (dice.chance(30))
    section["visits"] = {
      in: "visit",
      lines: lines(
        draft,
        (pen) => pen.write("rate"),
        () => "1",
      ),
    };
  if (dice.chance(60)) section["happened"] = { count: dice.one(draft.paths), ...discounted(draft, "effects") };
  if (dice.chance(40)) section["all_of_it"] = { count: dice.some(draft.paths, 1, 4), label: "Several events" };
  return section;
}

function moneyAccount(draft: Draft, main: boolean): Section {
  const { dice } = draft;
  const names = draft.resources.map(({ name }) => name);
  const resources = names.length === 0 ? {} : { resources: dice.one<Tree>(["all", dice.some(names, 1, 2)]) };
  const pay = {
    ...lines(
      draft,
      (pen) =>
        dice.way(
          () => pen.write("yearly cost"),
          () => `${pen.write("case cost", 1)} * (${pen.write("rate", 2)})`,
        ),
      (pen) => pen.write(dice.one(["money", "case cost"])),
      true,
    ),
  };
  return { in: "money", ...discounted(draft, "costs"), ...(main || dice.chance(50) ? resources : {}), lines: pay };
}

const discounted = (draft: Draft, usual: "costs" | "effects"): Section =>
  draft.dice.chance(50) ? { discount: draft.dice.one(["none", usual, usual, "effects", "costs"]) } : {};

/** Lines over time and on events. */
function lines(draft: Draft, perYear: (pen: Pen) => string, perCase: (pen: Pen) => string, money = false): Section {
  const { dice } = draft;
  const section: Section = {};
  for (const name of dice.some(["care", "placement", "drug", "episode"], 1, 3)) {
    const ids = dice.chance(25) ? draft.someStrategies() : draft.strategies;
    const audience: Audience = { person: true, strategies: ids };
    const pen = penFor(draft, audience);
    const on = name !== "care" && dice.chance(50);
    const condition = dice.chance(50) ? randomWhile(draft) : null;
    section[name] = {
      amount: on ? perCase(pen) : perYear(pen),
      ...(on ? { on: dice.one(draft.paths) } : {}),
      ...(condition !== null && !(on && condition === "alive") ? { while: condition } : {}),
      ...(ids === draft.strategies ? {} : { strategies: ids }),
      ...(money && dice.chance(60) ? { borne_by: dice.one(bearers) } : {}),
      ...(dice.chance(20) ? { label: `The line ${name}` } : {}),
    };
  }
  return section;
}

/** Who bears something that is posted to an account. */
export function bearersOf(accounts: Section, resources: Section): readonly string[] {
  const found = new Set<string>();
  for (const account of Object.values(accounts) as Section[]) {
    for (const line of Object.values(account["lines"] ?? {}) as Section[])
      if (line["borne_by"] !== undefined) found.add(String(line["borne_by"]));
    const chosen = account["resources"] ?? [];
    for (const [name, resource] of Object.entries(resources) as [string, Section][]) {
      if (resource["borne_by"] !== undefined && (chosen === "all" || (chosen as readonly Tree[]).includes(name)))
        found.add(String(resource["borne_by"]));
    }
  }
  return [...found];
}
