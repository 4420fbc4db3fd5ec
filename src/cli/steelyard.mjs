#!/usr/bin/env node
// Starts the built command line; `npm start`, `npm test` and `npm run setup` build it.
import "./engine-settings.mjs";
import { existsSync } from "node:fs";

if (!existsSync(new URL("../../dist/cli/main.cjs", import.meta.url))) {
  process.stderr.write("not built yet: run `npm run setup` in the project folder first\n");
  process.exit(1);
}
const { default: program } = await import("../host/program.cjs");
await program.start();
