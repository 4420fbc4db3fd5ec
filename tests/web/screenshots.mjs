// node tests/web/screenshots.mjs FOLDER: pictures of every part of the page, for looking at.
import { runnerImport } from "vite";

const [folder] = process.argv.slice(2);
if (folder === undefined) {
  process.stderr.write("say into which folder: node tests/web/screenshots.mjs FOLDER\n");
  process.exit(2);
}
const { module } = await runnerImport(new URL("screenshots.ts", import.meta.url).pathname, { configFile: false });
await module.takeScreenshots(folder);
