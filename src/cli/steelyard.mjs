#!/usr/bin/env node
// Starts the built command line; `npm start`, `npm test` and `npm run setup` build it.
import { existsSync } from "node:fs";
import { setFlagsFromString } from "node:v8";

const built = new URL("../../dist/cli/main.js", import.meta.url);
if (!existsSync(built)) {
  process.stderr.write("not built yet: run `npm run setup` in the project folder first\n");
  process.exit(1);
}
// by itself the engine begins to optimise so soon that much of that work is for nothing: a command takes a tenth longer
setFlagsFromString("--interrupt-budget=200000");
const { start } = await import(built.href);
await start();
