import { inputError } from "../errors.ts";
import type { FileSource } from "./files.ts";
import { type Jurisdiction, type JurisdictionPart, readJurisdictions } from "./jurisdiction.ts";
import { isLocatedMap, nodeAt, placeAt } from "./located.ts";
import { nearestNames } from "./nearest.ts";
import type { Located, LocatedEntry } from "./text.ts";

/** A jurisdiction that a scenario names, and what of its settings comes from it. */
export interface AppliedJurisdiction extends Jurisdiction {
  readonly id: string;
  readonly fills: readonly JurisdictionPart[];
}

/**
 * A merged scenario with the settings of the jurisdiction it names: those that no file states, or only a base of the file
 * that names it. `paths` are the scenario's files, bases last. What is filled in stands where the jurisdiction is named.
 * Throws file-missing, unknown-reference and the errors of the file of jurisdictions.
 */
export function withJurisdiction(
  root: Located,
  files: FileSource,
  paths: readonly string[],
): { readonly root: Located; readonly jurisdiction: AppliedJurisdiction | null } {
  const named = nodeAt(root, ["settings", "jurisdiction"]);
  const settings = nodeAt(root, ["settings"]);
  if (!isLocatedMap(root) || settings === undefined || !isLocatedMap(settings) || typeof named?.value !== "string")
    return { root, jurisdiction: null };
  const id = named.value;
  const place = placeAt(root, ["settings", "jurisdiction"]);
  const stored = readJurisdictions(files, place);
  const found = new Map(Object.entries(stored.data)).get(id);
  if (found === undefined) {
    const known = Object.keys(stored.data);
    throw inputError(place, "unknown-reference", "jurisdiction", id, nearestNames(id, known), known);
  }
  const fills = new Set<JurisdictionPart>();
  const isOwn = (node: Located): boolean => paths.indexOf(node.file) <= paths.indexOf(named.file);
  const fill = (
    entries: Map<string, LocatedEntry>,
    key: string,
    part: JurisdictionPart,
    from: Located | undefined,
  ): void => {
    const given = entries.get(key);
    if (from === undefined || (given !== undefined && isOwn(given.node))) return;
    fills.add(part);
    entries.set(key, { line: named.line, column: named.column, node: standingAt(named, from) });
  };
  const entries = new Map(settings.value);
  fill(entries, "thresholds", "thresholds", nodeAt(stored.root, [id, "thresholds"]));
  const discount = entries.get("discount") ?? {
    line: named.line,
    column: named.column,
    node: { ...named, value: new Map() },
  };
  if (isLocatedMap(discount.node)) {
    const rates = new Map(discount.node.value);
    for (const key of ["costs", "effects"]) fill(rates, key, "discount", nodeAt(stored.root, [id, "discount", key]));
    entries.set("discount", { ...discount, node: { ...discount.node, value: rates } });
  }
  const all = new Map(root.value);
  all.set("settings", { ...all.get("settings")!, node: { ...settings, value: entries } });
  return { root: { ...root, value: all }, jurisdiction: { ...found, id, fills: [...fills] } };
}

/** A value as if it stood at another place. */
function standingAt(at: Located, node: Located): Located {
  const { file, line, column } = at;
  const moved = (inner: Located): Located => standingAt(at, inner);
  if (isLocatedMap(node)) {
    const entries = [...node.value].map(([key, entry]) => [key, { line, column, node: moved(entry.node) }] as const);
    return { file, line, column, value: new Map(entries) };
  }
  if (Array.isArray(node.value)) return { file, line, column, value: (node.value as readonly Located[]).map(moved) };
  return { file, line, column, value: node.value };
}
