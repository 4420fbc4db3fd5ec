import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { projectFolder } from "./project.ts";

// A process of its own that runs the built command line with the arguments given, then tells on standard error, in one
// line of JSON, what it took: processor time of all its threads, the clock since the process began, its largest memory.
process.argv.splice(1, 1, "steelyard");
await import(pathToFileURL(join(projectFolder(), "src/cli/steelyard.mjs")).href);
const { userCPUTime, maxRSS } = process.resourceUsage();
const told = { user: userCPUTime / 1e6, wall: performance.now() / 1e3, memoryMb: Math.round(maxRSS / 1024) };
process.stderr.write(`${JSON.stringify(told)}\n`);
