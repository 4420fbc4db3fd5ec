import { InputError, inputError, type Place } from "../errors.ts";
import { type CaseFile, findCase, folderFiles } from "../host/files.ts";
import type { FileSource } from "../schema/files.ts";
import { caseTitle } from "../schema/load.ts";
import { nearestNames } from "../schema/nearest.ts";

/**
 * The case that a command is asked about: a scenario file, or the id of a scenario below the case root given or the
 * present folder. Throws file-missing, root-missing, file-outside, and unknown-reference for an id that there is not.
 */
export function namedCase(name: string, root?: string): CaseFile {
  try {
    return findCase(name, root);
  } catch (error) {
    if (!isMissing(error) || /[\\/]|\.ya?ml$/.test(name)) throw error;
    const files = filesBelow(root ?? ".");
    if (files === null) throw error;
    const scenarios = files.list().filter((path) => path.endsWith(".scenario.yaml"));
    const path = scenarios.find((one) => caseTitle(files, one).scenario === name);
    if (path !== undefined) return { root: root ?? ".", path };
    const known = scenarios.map((one) => caseTitle(files, one).scenario);
    const place: Place = { file: name, line: 1, column: 1, path: "" };
    throw inputError(place, "unknown-reference", "scenario", name, nearestNames(name, known), known);
  }
}

function isMissing(error: unknown): boolean {
  return error instanceof InputError && error.findings.some(({ code }) => code === "file-missing");
}

function filesBelow(root: string): FileSource | null {
  try {
    return folderFiles(root);
  } catch {
    return null;
  }
}
