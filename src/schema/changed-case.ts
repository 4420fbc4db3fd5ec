import { inputError } from "../errors.ts";
import { layeredFiles } from "./case-texts.ts";
import { bundleFiles, type FileSource } from "./files.ts";
import { requestPlace } from "./run-request.ts";

/** The name of the file, beside the scenario, as which changes are read. */
export const changesFile = "changes";

/** A scenario among its files. */
export interface CasePath {
  readonly files: FileSource;
  readonly path: string;
}

/**
 * A scenario with changes laid over it: they are a file beside it that extends it, in memory. Throws inconsistent-keys
 * for changes that name what they extend.
 */
export function changedCase({ files, path }: CasePath, changes: Readonly<Record<string, unknown>>): CasePath {
  if (changes["extends"] !== undefined)
    throw inputError(requestPlace("changes.extends"), "inconsistent-keys", ["extends", "scenario"], "drop extends");
  const folder = path.slice(0, path.lastIndexOf("/") + 1);
  const changed = `${folder}${changesFile}`;
  const text = JSON.stringify({ ...changes, extends: `./${path.slice(folder.length)}` }, null, 2);
  return { files: layeredFiles(bundleFiles(new Map([[changed, text]])), files), path: changed };
}
