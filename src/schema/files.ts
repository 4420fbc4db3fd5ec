import { inputError, type Place } from "../errors.ts";

/** Where texts come from: a folder, an uploaded bundle, a test. Paths are relative to the case root, with `/`. */
export interface FileSource {
  /** The text of a file, or undefined where there is none. */
  read(path: string): string | undefined;
  /** All files of the case, in any order. */
  list(): readonly string[];
}

/**
 * A path given in a file, relative to that file, as a path from the case root.
 * Throws file-outside where it would leave the root.
 * @example resolvePath("scenarios/harbour/base.scenario.yaml", "../common.yaml", place) // "scenarios/common.yaml"
 */
export function resolvePath(from: string, given: string, place: Place): string {
  if (/^([A-Za-z]:|[\\/])/.test(given) || given.includes("\0")) throw inputError(place, "file-outside", given);
  const parts = from.split("/").slice(0, -1);
  for (const part of given.split(/[\\/]/)) {
    if (part === "" || part === ".") continue;
    if (part !== "..") parts.push(part);
    else if (parts.pop() === undefined) throw inputError(place, "file-outside", given);
  }
  return parts.join("/");
}

/** The text of a file; throws file-missing. */
export function readText(files: FileSource, path: string, place: Place): string {
  const text = files.read(path);
  if (text === undefined) throw inputError(place, "file-missing", path);
  return text;
}

/** Files of a bundle held in memory. */
export function bundleFiles(texts: ReadonlyMap<string, string>): FileSource {
  return { read: (path) => texts.get(path), list: () => [...texts.keys()] };
}
