import { Findings } from "../errors.ts";
import { bundleFiles, type FileSource } from "./files.ts";
import { beginning } from "./json-body.ts";
import { jurisdictionsPath } from "./jurisdiction.ts";

const countLimit = 100;
const partPattern = /^[A-Za-z0-9_][A-Za-z0-9_.-]*$/;

/** True for a path that a case may hold: words joined by `/`, ending in .model.yaml, .scenario.yaml or .csv, or the file of jurisdictions. */
export function isCasePath(path: string): boolean {
  return (
    path.length <= 200 &&
    (/\.(model\.yaml|scenario\.yaml|csv)$/.test(path) || path === jurisdictionsPath) &&
    path.split("/").every((part) => partPattern.test(part))
  );
}

/** Files of which only models, scenarios and tables below `models` and `scenarios` can be read. */
export function caseTexts(files: FileSource): FileSource {
  const isOpen = (path: string): boolean => /^(models|scenarios)\//.test(path) && isCasePath(path);
  return {
    read: (path) => (isOpen(path) ? files.read(path) : undefined),
    list: () => files.list().filter(isOpen),
  };
}

/** Files seen through others: what `above` holds hides what lies below at the same path. */
export function layeredFiles(above: FileSource, below: FileSource): FileSource {
  return {
    read: (path) => above.read(path) ?? below.read(path),
    list: () => [...new Set([...above.list(), ...below.list()])],
  };
}

/** The files of a bundle that was sent. Throws evidence-invalid for paths that a case cannot hold and for too many files. */
export function sentFiles(texts: Readonly<Record<string, string>>, file: string): FileSource {
  const findings = new Findings();
  const paths = Object.keys(texts);
  if (paths.length > countLimit)
    findings.add(beginning(file, "files"), "out-of-range", "files", String(paths.length), `at most ${countLimit}`);
  for (const path of paths.slice(0, countLimit)) {
    if (isCasePath(path)) continue;
    const shown = path.length > 60 ? `${path.slice(0, 57)}…` : path;
    const hint = "use words joined by / and an ending of .model.yaml, .scenario.yaml or .csv";
    findings.add(beginning(file, "files"), "evidence-invalid", `invalid path ${JSON.stringify(shown)}`, hint);
  }
  findings.throwAny();
  return bundleFiles(new Map(Object.entries(texts)));
}
