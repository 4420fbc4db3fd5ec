import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";

const root = join(import.meta.dirname, "..");
const built = join(root, "dist/cli/main.cjs");
const lock = join(root, "dist/.building");

const time = (path: string): number => (existsSync(path) ? statSync(path).mtimeMs : 0);

/** Builds what threads start from where sources are newer: a test's threads run the build, the test the sources. */
export async function freshBuild(): Promise<void> {
  const sources = readdirSync(join(root, "src"), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
    .map((entry) => time(join(entry.parentPath, entry.name)));
  for (let waited = 0; time(built) < Math.max(...sources); waited++) {
    if (waited > 600) throw new Error(`${lock} stands in the way of a build; remove it`);
    mkdirSync(join(root, "dist"), { recursive: true });
    try {
      mkdirSync(lock);
    } catch {
      // another test file builds
      await new Promise((resolve) => setTimeout(resolve, 100));
      continue;
    }
    try {
      const vite = [
        join(root, "node_modules/vite/bin/vite.js"),
        "build",
        "--logLevel",
        "warn",
        "--config",
        "src/cli/vite.config.ts",
      ];
      const done = spawnSync(process.execPath, vite, { cwd: root, encoding: "utf8" });
      if (done.status !== 0) throw new Error(`no build for threads: ${done.stderr}`);
    } finally {
      rmSync(lock, { recursive: true });
    }
  }
}
