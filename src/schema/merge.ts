import { isLocatedMap } from "./located.ts";
import type { Located, LocatedEntry } from "./text.ts";

// What a variant's entry does to the base's entry of the same path. Lists and scalars are replaced everywhere.
type Rule = "replace" | "evidence" | { readonly [key: string]: Rule } | "each replaced";

const rules: { readonly [key: string]: Rule } = {
  settings: {
    money: { conversions: "each replaced" },
    perspectives: "each replaced",
    discount: "each replaced",
    "*": "replace",
  },
  population: "replace",
  inputs: { "*": "evidence" },
  tables: "each replaced",
  alternatives: "each replaced",
  fitted: "each replaced",
  expect: "each replaced",
  runs: "each replaced",
};

/**
 * A base scenario with a variant laid over it: merged down to one input (or one strategy's or cell's value), whose entry
 * is replaced whole so that evidence never mixes; lists are replaced; the order is the base's, then new keys. Every
 * value keeps the file and place it came from.
 */
export function mergeScenario(base: Located, variant: Located): Located {
  return laidOver(base, variant, { ...rules, "*": "replace" });
}

function laidOver(base: Located, variant: Located, rule: Rule): Located {
  if (rule === "replace" || !isLocatedMap(base) || !isLocatedMap(variant)) return variant;
  if (rule === "evidence") return evidenceOver(base, variant);
  const inner = (key: string): Rule => {
    if (rule === "each replaced") return "replace";
    return rule[key] ?? rule["*"] ?? "replace";
  };
  const entries = new Map<string, LocatedEntry>(base.value);
  for (const [key, entry] of variant.value) {
    const below = base.value.get(key);
    entries.set(key, below === undefined ? entry : { ...entry, node: laidOver(below.node, entry.node, inner(key)) });
  }
  return { ...variant, value: entries };
}

const inherited = ["source", "why", "note", "in", "price_year"] as const;

/**
 * Two entries of one input: merged cell by cell where both are given by strategy (or by cell), else replaced whole. What
 * an entry says once for all its cells goes with each of them, so that neither lends the other its unit or its source.
 */
function evidenceOver(base: Located, variant: Located): Located {
  if (!isLocatedMap(base) || !isLocatedMap(variant)) return variant;
  for (const split of ["by", "each"]) {
    const below = base.value.get(split)?.node;
    const above = variant.value.get(split);
    if (below === undefined || above === undefined || !isLocatedMap(below) || !isLocatedMap(above.node)) continue;
    const cells = new Map<string, LocatedEntry>();
    for (const [key, entry] of below.value) cells.set(key, { ...entry, node: complete(entry.node, base) });
    for (const [key, entry] of above.node.value) cells.set(key, { ...entry, node: complete(entry.node, variant) });
    const entries = new Map<string, LocatedEntry>([...base.value, ...variant.value]);
    for (const key of inherited) entries.delete(key);
    entries.set(split, { ...above, node: { ...above.node, value: cells } });
    return { ...variant, value: entries };
  }
  return variant;
}

/** A cell with what its entry says for all cells and it does not say itself. */
function complete(cell: Located, entry: Located & { value: ReadonlyMap<string, LocatedEntry> }): Located {
  if (!isLocatedMap(cell)) return cell;
  const own = new Map(cell.value);
  for (const key of inherited) {
    const above = entry.value.get(key);
    if (above !== undefined && !own.has(key)) own.set(key, above);
  }
  return { ...cell, value: own };
}
