// Loads the built program, in the form in which both the command line and threads start it, with the compiled code that
// set-up kept of it. Where that is of another build or another engine, the program is compiled anew: slower, no different.
const { existsSync, readFileSync, statSync, writeFileSync } = require("node:fs");
const { createRequire, wrap } = require("node:module");
const { dirname, join } = require("node:path");
const { Script } = require("node:vm");

const loaded = new Map();

/** What a file of the program exports. */
function load(file) {
  const known = loaded.get(file);
  if (known !== undefined) return known.module.exports;
  const { mtimeMs, size } = statSync(file);
  const kept = `${file}.${size}-${mtimeMs}`;
  const script = new Script(wrap(readFileSync(file, "utf8")), {
    filename: file,
    ...(existsSync(kept) ? { cachedData: readFileSync(kept) } : {}),
  });
  const module = { exports: {} };
  loaded.set(file, { module, script, kept });
  const outside = createRequire(file);
  const require = (name) => (name.startsWith(".") ? load(join(dirname(file), name)) : outside(name));
  script.runInThisContext()(module.exports, require, module, file, dirname(file));
  return module.exports;
}

const program = load(join(__dirname, "../../dist/cli/main.cjs"));

module.exports = {
  ...program,
  // what threads are asked for by name
  ...program.threadTasks,
  /** Whether code that was kept is in use. */
  isWarm: [...loaded.values()].every(({ script }) => script.cachedDataRejected === false),
  /** Keeps the code of all functions that were called so far. */
  keepCode() {
    for (const { kept, script } of loaded.values()) writeFileSync(kept, script.createCachedData());
  },
};
