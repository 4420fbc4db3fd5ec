import { readFile, realpath, stat } from "node:fs/promises";
import { join, sep } from "node:path";

const sizeLimit = 32_000_000;

/** Reads files below a folder by their path from there; nothing for what is not a file or lies outside, links resolved. */
export function pageFiles(folder: string): (path: string) => Promise<Uint8Array<ArrayBuffer> | undefined> {
  return async (path) => {
    try {
      const root = await realpath(folder);
      const full = await realpath(join(root, path));
      if (!full.startsWith(root + sep)) return undefined;
      const info = await stat(full);
      return info.isFile() && info.size <= sizeLimit ? Uint8Array.from(await readFile(full)) : undefined;
    } catch (error) {
      if (error instanceof Error && "code" in error && ["ENOENT", "ENOTDIR"].includes(String(error.code)))
        return undefined;
      throw error;
    }
  };
}
