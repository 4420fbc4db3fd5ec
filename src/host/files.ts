import { closeSync, existsSync, openSync, readdirSync, readFileSync, realpathSync, statSync, writeSync } from "node:fs";
import { dirname, join, relative, resolve, sep } from "node:path";
import { InputError, inputError, type Place } from "../errors.ts";
import type { FileSource } from "../schema/files.ts";

const sizeLimit = 32_000_000;

/** A case on disk: its root and the path of a file from there. */
export interface CaseFile {
  readonly root: string;
  readonly path: string;
}

/**
 * The case root of a file (the nearest folder upwards that holds models/, or the one given) and the file's path below it.
 * Throws file-missing, root-missing, file-outside.
 */
export function findCase(file: string, givenRoot?: string): CaseFile {
  const full = resolve(file);
  const place: Place = { file, line: 1, column: 1, path: "" };
  if (!existsSync(full) || !statSync(full).isFile()) throw inputError(place, "file-missing", file);
  let root = givenRoot === undefined ? dirname(full) : resolve(givenRoot);
  if (givenRoot === undefined) {
    while (!existsSync(join(root, "models"))) {
      const above = dirname(root);
      if (above === root) throw inputError(place, "root-missing", file);
      root = above;
    }
  }
  const path = relative(realpathSync(root), realpathSync(full));
  if (path.startsWith("..")) throw inputError(place, "file-outside", file);
  return { root, path: path.split(sep).join("/") };
}

/** What `work` makes of a case; the files its mistakes name are given as seen from the present folder. */
export async function fromHere<T>(root: string, work: () => T | Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const here = relative(process.cwd(), realpathSync(root));
    throw new InputError(
      error.findings.map((found) => ({ ...found, file: here === "" ? found.file : join(here, found.file) })),
    );
  }
}

/** The files below a root; links are resolved first and nothing outside the root is read. */
export function folderFiles(root: string): FileSource {
  if (!existsSync(join(root, "models")))
    throw inputError({ file: root, line: 1, column: 1, path: "" }, "root-missing", root);
  const realRoot = realpathSync(root);
  let listed: readonly string[] | undefined;
  return {
    read(path) {
      const full = join(realRoot, path);
      if (!existsSync(full)) return undefined;
      const real = realpathSync(full);
      if (real !== realRoot && !real.startsWith(realRoot + sep)) return undefined;
      const info = statSync(real);
      if (!info.isFile()) return undefined;
      if (info.size > sizeLimit)
        throw inputError({ file: path, line: 1, column: 1, path: "" }, "file-too-large", info.size, sizeLimit);
      return readFileSync(real, "utf8");
    },
    list() {
      listed ??= ["models", "scenarios"].flatMap((folder) => listBelow(realRoot, folder, 0));
      return listed;
    },
  };
}

function listBelow(root: string, folder: string, depth: number): readonly string[] {
  const full = join(root, folder);
  if (depth > 8 || !existsSync(full)) return [];
  return readdirSync(full, { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) =>
      entry.isDirectory() ? listBelow(root, `${folder}/${entry.name}`, depth + 1) : [`${folder}/${entry.name}`],
    );
}

/** Writes lines to a file, a few at a time. Throws file-missing where the file cannot be made. */
export function writeLines(path: string, lines: Iterable<string>): void {
  let file: number;
  try {
    file = openSync(path, "w");
  } catch {
    throw inputError({ file: path, line: 1, column: 1, path: "" }, "file-missing", dirname(path));
  }
  try {
    let text = "";
    for (const line of lines) {
      text += line;
      if (text.length < 1_000_000) continue;
      writeSync(file, text);
      text = "";
    }
    writeSync(file, text);
  } finally {
    closeSync(file);
  }
}
