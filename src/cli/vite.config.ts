import { resolve } from "node:path";
import { defineConfig } from "vite";

// The program as node starts it: one file, so that a command loads one file and not a thousand; threads start it too.
export default defineConfig({
  root: resolve(import.meta.dirname, "../.."),
  publicDir: false,
  ssr: {
    noExternal: true,
    // starts a file of its own in its threads
    external: ["piscina"],
  },
  build: {
    ssr: true,
    target: "node20",
    outDir: "dist",
    emptyOutDir: false,
    minify: false,
    rolldownOptions: {
      input: { "cli/main": "src/cli/main.ts" },
      // a form whose compiled code can be kept; what only servers and threads need is a chunk
      output: { format: "cjs", entryFileNames: "[name].cjs", chunkFileNames: "chunks/[name]-[hash].cjs" },
    },
  },
});
