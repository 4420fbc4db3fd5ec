#!/usr/bin/env node
// Starts the built command line; `npm start`, `npm test` and `npm run setup` build it.
import { existsSync } from "node:fs";

const built = new URL("../../dist/cli/main.js", import.meta.url);
if (!existsSync(built)) {
  process.stderr.write("not built yet: run `npm run setup` in the project folder first\n");
  process.exit(1);
}
const { start } = await import(built.href);
await start();
