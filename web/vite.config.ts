import { defineConfig } from "vite";

export default defineConfig({
  root: import.meta.dirname,
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    outDir: "../dist/web",
    emptyOutDir: true,
    // the page's policy allows files of its own origin only: nothing is put inline
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
});
