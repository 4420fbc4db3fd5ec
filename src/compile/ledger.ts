import { combined, type Dimension, perTime, piece, sameDimension } from "../schema/dimension.ts";
import { nearestNames } from "../schema/nearest.ts";
import { constant } from "./bound.ts";
import { boundAt, type Context, modelPlace } from "./context.ts";
import { strategyMask } from "./events.ts";
import type { Account, Entry, Posting, Resource } from "./program.ts";
import { accountDimension } from "./resources.ts";
import { readMatch } from "./structure.ts";
import { type Type, typeText } from "./type.ts";

/** The model's accounts, their entries (a line as one bearer sees it) and what posts to them. */
export interface Ledger {
  readonly accounts: readonly Account[];
  readonly entries: readonly Entry[];
  readonly postings: readonly Posting[];
}

/** Reads the accounts. Mistakes go to the findings. */
export function readLedger(context: Context, resources: readonly Resource[], paths: readonly string[]): Ledger {
  const { findings } = context;
  const accounts: Account[] = [];
  const entries: Entry[] = [];
  const postings: Posting[] = [];
  const entryOf = (account: number, line: string, bearer: string | null, label: string): number => {
    const known = entries.findIndex(
      (entry) => entry.account === account && entry.line === line && entry.bearer === bearer,
    );
    return known >= 0 ? known : entries.push({ account, line, bearer, label }) - 1;
  };
  const everyone = context.scope.strategies.map(() => true);
  const pathOf = (name: string, path: readonly (string | number)[]): number | undefined => {
    const index = paths.indexOf(name);
    if (index >= 0) return index;
    findings.add(
      modelPlace(context, path),
      "unknown-reference",
      "event",
      name,
      nearestNames(name, paths),
      paths.length > 12 ? [] : paths,
    );
    return undefined;
  };

  for (const [name, declared] of Object.entries(context.model.data.accounts)) {
    const path = ["accounts", name];
    if (!/^[a-z][a-z0-9_]*$/.test(name)) findings.add(modelPlace(context, path, true), "invalid-name", name);
    const index = accounts.length;
    const isMoney = declared.in === "money";
    const dimension = accountDimension(declared.in);
    accounts.push({
      index,
      name,
      isMoney,
      dimension,
      label: declared.label ?? name.replaceAll("_", " "),
      unit: declared.in ?? "case",
      discount: declared.discount ?? (isMoney ? "costs" : declared.count === undefined ? "effects" : "none"),
    });
    if (!isMoney && dimension[0] !== 0)
      findings.add(modelPlace(context, [...path, "in"]), "unit-mismatch", declared.in ?? "", "in: money");
    if (declared.resources !== undefined && !isMoney)
      findings.add(
        modelPlace(context, [...path, "resources"], true),
        "inconsistent-keys",
        ["resources", "in"],
        "resources add to an account in money",
      );
    for (const resource of chosenResources(declared.resources, resources, path, context)) {
      postings.push({
        by: "resource",
        entry: entryOf(
          index,
          resource.line,
          resource.bearer,
          declared.lines?.[resource.line]?.label ?? heading(resource.line),
        ),
        resource: resource.index,
      });
    }
    const counted =
      declared.count === undefined ? [] : typeof declared.count === "string" ? [declared.count] : declared.count;
    for (const [i, event] of counted.entries()) {
      const where = typeof declared.count === "string" ? [...path, "count"] : [...path, "count", i];
      const at = pathOf(event, where);
      if (at === undefined) continue;
      postings.push({
        by: "event",
        entry: entryOf(index, name, null, declared.label ?? name),
        strategies: everyone,
        match: readMatch(undefined, where, context),
        path: at,
        amount: constant(1),
        source: { text: 1, place: modelPlace(context, where) },
      });
    }
    for (const [line, given] of Object.entries(declared.lines ?? {})) {
      const linePath = [...path, "lines", line];
      const amount = boundAt(context, [...linePath, "amount"]);
      if (given.on !== undefined && given.while === "alive")
        findings.add(
          modelPlace(context, [...linePath, "while"], true),
          "inconsistent-keys",
          ["on", "while"],
          "a line on an event counts cases; leave while out or name levels",
        );
      const target = given.on === undefined ? combined(dimension, perTime) : dimension;
      if (!amount.failed && !fits(amount.type, target))
        findings.add(
          amount.source.place,
          "unit-mismatch",
          typeText(amount.type),
          targetText(declared.in ?? "case", given.on),
        );
      const entry = entryOf(index, line, given.borne_by ?? null, given.label ?? heading(line));
      const strategies = strategyMask(given.strategies, [...linePath, "strategies"], context);
      const match = readMatch(given.while, [...linePath, "while"], context);
      if (given.on === undefined)
        postings.push({ by: "time", entry, strategies, match, amount: amount.node, source: amount.source });
      else {
        const event = pathOf(given.on, [...linePath, "on"]);
        if (event !== undefined)
          postings.push({
            by: "event",
            entry,
            strategies,
            match,
            path: event,
            amount: amount.node,
            source: amount.source,
          });
      }
    }
    if (declared.lines === undefined && declared.count === undefined && declared.resources === undefined) {
      findings.add(modelPlace(context, path, true), "missing-key", "lines, resources or count");
    }
  }
  if (accounts.length === 0) findings.add(modelPlace(context, ["accounts"], true), "empty-list", "accounts");
  return { accounts, entries, postings };
}

function chosenResources(
  given: "all" | readonly string[] | undefined,
  resources: readonly Resource[],
  path: readonly (string | number)[],
  context: Context,
): readonly Resource[] {
  if (given === undefined) return [];
  if (given === "all") return resources;
  const names = resources.map((resource) => resource.name);
  return given.flatMap((name, i) => {
    const found = resources.find((resource) => resource.name === name);
    if (found === undefined)
      context.findings.add(
        modelPlace(context, [...path, "resources", i]),
        "unknown-reference",
        "resource",
        name,
        nearestNames(name, names),
        names,
      );
    return found === undefined ? [] : [found];
  });
}

/** An amount fits where the dimensions agree, with or without `per piece`; 0 fits anything, a bare 1 counts. */
function fits(type: Type, target: Dimension): boolean {
  if (type.zero) return true;
  if (type.kind === "condition") return false;
  return sameDimension(type.dimension, target) || sameDimension(combined(type.dimension, piece), target);
}

function targetText(unit: string, on: string | undefined): string {
  const what = unit === "money" ? "an amount of money" : `an amount in ${unit}`;
  return on === undefined ? `${what} per time` : `${what} per case`;
}

/** A name as the heading of a line: words, the first with a capital. */
function heading(name: string): string {
  return name.charAt(0).toUpperCase() + name.slice(1).replaceAll("_", " ");
}
