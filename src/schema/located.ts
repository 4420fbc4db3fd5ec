import type { Place } from "../errors.ts";
import type { Located, LocatedEntry } from "./text.ts";

/** A step of a path: key of a map or index of a list. */
export type Step = string | number;

/** True for a located map. */
export function isLocatedMap(node: Located): node is Located & { value: ReadonlyMap<string, LocatedEntry> } {
  return node.value instanceof Map;
}

/** The plain value without places: objects without prototype surprises, arrays, scalars. */
export function plainValue(node: Located): unknown {
  const { value } = node;
  if (isLocatedMap(node)) {
    const object: Record<string, unknown> = {};
    for (const [key, entry] of node.value) {
      Object.defineProperty(object, key, { value: plainValue(entry.node), enumerable: true });
    }
    return object;
  }
  return Array.isArray(value) ? (value as readonly Located[]).map(plainValue) : value;
}

/** Dotted text of a path, `settings.thresholds[1]`. */
export function pathText(path: readonly Step[]): string {
  let text = "";
  for (const step of path) text += typeof step === "number" ? `[${step}]` : text === "" ? step : `.${step}`;
  return text;
}

/**
 * Place of the value at a path; of the nearest existing parent where the path leads nowhere.
 * `key: true` gives the place of the last step's key instead of its value.
 */
export function placeAt(root: Located, path: readonly Step[], key = false): Place {
  let node: Located = root;
  let { line, column } = root;
  for (const [depth, step] of path.entries()) {
    let next: Located | undefined;
    let at: { line: number; column: number } | undefined;
    if (isLocatedMap(node)) {
      const entry = node.value.get(String(step));
      next = entry?.node;
      at = key && depth === path.length - 1 ? entry : next;
    } else if (Array.isArray(node.value)) {
      next = (node.value as readonly Located[])[Number(step)];
      at = next;
    }
    if (next === undefined || at === undefined) break;
    node = next;
    line = at.line;
    column = at.column;
  }
  return { file: node.file, line, column, path: pathText(path) };
}

/** The located value at a path, if there is one. */
export function nodeAt(root: Located, path: readonly Step[]): Located | undefined {
  let node: Located | undefined = root;
  for (const step of path) {
    if (node === undefined) return undefined;
    if (isLocatedMap(node)) node = node.value.get(String(step))?.node;
    else if (Array.isArray(node.value)) node = (node.value as readonly Located[])[Number(step)];
    else return undefined;
  }
  return node;
}
