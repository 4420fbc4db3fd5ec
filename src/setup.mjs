// Prepares a fresh clone: installs when package-lock.json changed, builds when a source changed. Plain JavaScript,
// because it runs before anything is installed. A second run only compares two stamps.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));

/** SHA-256 over names and contents of the files below the given places. */
function stamp(places) {
  const hash = createHash("sha256");
  const visit = (path) => {
    const full = join(root, path);
    if (!existsSync(full)) return;
    const entries = readdirSync(full, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1));
    for (const entry of entries) {
      const child = join(path, entry.name);
      if (entry.isDirectory()) visit(child);
      else
        hash
          .update(child)
          .update("\0")
          .update(readFileSync(join(root, child)));
    }
  };
  for (const place of places) {
    if (existsSync(join(root, place)) && !readdirSafe(place))
      hash.update(place).update(readFileSync(join(root, place)));
    else visit(place);
  }
  return hash.digest("hex");
}

function readdirSafe(place) {
  try {
    return readdirSync(join(root, place));
  } catch {
    return undefined;
  }
}

/** Runs `work` when the stamp kept in `file` differs from `now`. */
function whenChanged(file, now, work) {
  const path = join(root, file);
  if (existsSync(path) && readFileSync(path, "utf8") === now) return;
  work();
  mkdirSync(join(path, ".."), { recursive: true });
  writeFileSync(path, now);
}

function run(title, command, args) {
  process.stderr.write(`${title}\n`);
  const done = spawnSync(command, args, { cwd: root, stdio: ["ignore", 2, 2], shell: process.platform === "win32" });
  if (done.status !== 0) {
    process.stderr.write(`set-up failed: ${command} ${args.join(" ")} ended with ${done.status ?? done.signal}\n`);
    process.exit(1);
  }
}

const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  process.stderr.write(`Node ${process.versions.node} found; version 20.19 or later is needed\n`);
  process.exit(1);
}
whenChanged("node_modules/.steelyard-installed", stamp(["package-lock.json"]), () =>
  run("installing packages", "npm", ["ci", "--no-audit", "--no-fund"]),
);
whenChanged("dist/.built", stamp(["src", "web", "tsconfig.json", "package-lock.json"]), () => {
  rmSync(join(root, "dist"), { recursive: true, force: true });
  const vite = [join(root, "node_modules/vite/bin/vite.js"), "build", "--logLevel", "warn", "--config"];
  run("building", process.execPath, [...vite, "src/cli/vite.config.ts"]);
  run("building the page", process.execPath, [...vite, "web/vite.config.ts"]);
  run("warming up", process.execPath, ["src/cli/warm-up.mjs"]);
});
