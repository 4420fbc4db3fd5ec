import { existsSync } from "node:fs";
import { dirname, join } from "node:path";

/** The project's folder: the nearest one above this file that holds package.json, whether it runs built or as it is. */
export function projectFolder(): string {
  let folder = import.meta.dirname;
  while (!existsSync(join(folder, "package.json"))) {
    const above = dirname(folder);
    if (above === folder) throw new Error("no package.json above the bench");
    folder = above;
  }
  return folder;
}
