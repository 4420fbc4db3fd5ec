import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Disagreement } from "./agreement.ts";
import { bench } from "./bench.ts";
import { type BenchOptions, parseOptions, UsageError } from "./options.ts";
import { projectFolder } from "./project.ts";
import { withTables } from "./readme.ts";
import { reportText } from "./tables.ts";

/** Runs the bench; returns the exit code: 0 done, 1 programs disagree or are missing, 2 wrong options. */
async function main(args: readonly string[]): Promise<number> {
  let options: BenchOptions;
  try {
    options = parseOptions(args);
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    process.stderr.write(`bench: ${error.message}\n`);
    return 2;
  }
  try {
    const report = await bench(options, (what, round) => {
      if (process.stderr.isTTY)
        process.stderr.write(`\r\u001b[K${round === 0 ? "checked first" : `round ${round}`}: ${what}`);
    });
    if (process.stderr.isTTY) process.stderr.write("\r\u001b[K");
    process.stdout.write(`${options.json ? JSON.stringify(report) : reportText(report)}\n`);
    if (options.readme) {
      const path = join(projectFolder(), "README.md");
      writeFileSync(path, withTables(readFileSync(path, "utf8"), reportText(report)));
    }
    return 0;
  } catch (error) {
    const known = error instanceof Disagreement;
    process.stderr.write(
      `bench: ${known || !(error instanceof Error) ? String((error as Error).message) : error.stack}\n`,
    );
    return 1;
  }
}

process.exitCode = await main(process.argv.slice(2));
