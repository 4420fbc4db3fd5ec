// Answers a question about the demo, unseen, and keeps the code that the engine compiled for it; part of set-up.
import { fileURLToPath } from "node:url";
import program from "../host/program.cjs";

const demo = fileURLToPath(new URL("../../scenarios/harbour/base.scenario.yaml", import.meta.url));
const nothing = () => {};
const io = { out: nothing, err: (text) => process.stderr.write(text), progress: nothing, now: () => "", stop: nothing };
process.exitCode = await program.main(["ask", "worth", demo], io);
if (process.exitCode === 0) program.keepCode();
