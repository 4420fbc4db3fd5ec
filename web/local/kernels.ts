import { instantiate } from "../../src/host/instantiate.ts";
import type { RunOptions } from "../../src/study.ts";

/** What starts WebAssembly, where the browser and the page's policy allow it; nothing elsewhere. */
export const kernels: Pick<RunOptions, "instantiate"> = hasWebAssembly() ? { instantiate } : {};

function hasWebAssembly(): boolean {
  try {
    // the shortest module there is: its mark and its version
    return new WebAssembly.Module(Uint8Array.of(0, 0x61, 0x73, 0x6d, 1, 0, 0, 0)) instanceof WebAssembly.Module;
  } catch {
    return false;
  }
}
