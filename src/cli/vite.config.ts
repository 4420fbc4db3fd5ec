import { resolve } from "node:path";
import { defineConfig } from "vite";

// The program as node starts it: one file, so that a command loads one file and not a thousand.
export default defineConfig({
  root: resolve(import.meta.dirname, "../.."),
  publicDir: false,
  ssr: {
    noExternal: true,
    // starts a file of its own in its threads
    external: ["piscina"],
  },
  build: {
    // each file that is started by itself; what several of them share becomes a chunk
    ssr: true,
    target: "node20",
    outDir: "dist",
    emptyOutDir: false,
    minify: false,
    rolldownOptions: {
      input: { "cli/main": "src/cli/main.ts", "host/run-thread": "src/host/run-thread.ts" },
      output: { entryFileNames: "[name].js", chunkFileNames: "chunks/[name]-[hash].js" },
    },
  },
});
