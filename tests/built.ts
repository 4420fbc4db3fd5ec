import { existsSync, readdirSync, statSync } from "node:fs";
import { join } from "node:path";

const root = join(import.meta.dirname, "..");

/** Throws where threads would run another program than the sources beside it: they start from the build. */
export function requireFreshBuild(): void {
  const built = join(root, "dist/host/run-thread.js");
  const newest = Math.max(
    ...readdirSync(join(root, "src"), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
      .map((entry) => statSync(join(entry.parentPath, entry.name)).mtimeMs),
  );
  if (!existsSync(built) || statSync(built).mtimeMs < newest)
    throw new Error("sources are newer than the build that threads start from; run `npm run setup` first");
}
