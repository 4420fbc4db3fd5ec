import { instantiate } from "../../src/host/instantiate.ts";
import { runStudy } from "../../src/study.ts";
import { type LongRun, openDemo } from "./demo.ts";
import { timed } from "./rounds.ts";

// A process of its own, so that its memory is that of the run alone: runs the demo with the draws given.
const draws = Number(process.argv[2]);
const { user, wall } = await timed(() => runStudy(openDemo().study, { draws, seed: "bench", instantiate }));
const done: LongRun = { draws, user, wall, memoryMb: Math.round(process.resourceUsage().maxRSS / 1024) };
process.stdout.write(`${JSON.stringify(done)}\n`);
