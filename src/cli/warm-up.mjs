// Answers a question about the demo, unseen, and keeps the code that the engine compiled for it; part of set-up. Where the
// demo cannot be answered nothing is kept, and whoever asks is told why.
import "./engine-settings.mjs";
import { fileURLToPath } from "node:url";
import program from "../host/program.cjs";

const demo = fileURLToPath(new URL("../../scenarios/harbour/base.scenario.yaml", import.meta.url));
const nothing = () => {};
const unseen = { out: nothing, err: nothing, progress: nothing, now: () => "", stop: nothing };
if ((await program.main(["ask", "worth", demo], unseen)) === 0) program.keepCode();
