import { finding, InputError, type Place } from "../errors.ts";
import type { Located, LocatedEntry } from "./text.ts";

const depthLimit = 64;

/** JSON text as a value. Throws a `SyntaxError` where it is none, and yaml-depth where it nests too deep. */
export function parseJson(text: string, file: string): unknown {
  if (jsonDepth(text) > depthLimit) throw new InputError([finding(beginning(file), "yaml-depth", depthLimit)]);
  return JSON.parse(text) as unknown;
}

/** A JSON value as a located one, so that the same checks apply; it has keys, but all stand at the file's beginning. */
export function locatedJson(value: unknown, file: string): Located {
  const spot = { line: 1, column: 1 };
  if (Array.isArray(value)) return { file, ...spot, value: value.map((item) => locatedJson(item, file)) };
  if (typeof value === "object" && value !== null) {
    const entries = Object.entries(value).map(([key, inner]): [string, LocatedEntry] => [
      key,
      { ...spot, node: locatedJson(inner, file) },
    ]);
    return { file, ...spot, value: new Map(entries) };
  }
  return { file, ...spot, value: value as string | number | boolean | null };
}

/** The beginning of a file, for mistakes that concern all of it. */
export function beginning(file: string, path = ""): Place {
  return { file, line: 1, column: 1, path };
}

/** How deep brackets nest outside of strings. */
function jsonDepth(text: string): number {
  let depth = 0;
  let deepest = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const sign = text[i];
    if (quoted) {
      if (sign === "\\") i += 1;
      else if (sign === '"') quoted = false;
    } else if (sign === '"') quoted = true;
    else if (sign === "{" || sign === "[") deepest = Math.max(deepest, ++depth);
    else if (sign === "}" || sign === "]") depth -= 1;
  }
  return deepest;
}
