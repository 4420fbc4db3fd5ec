import type { Instantiate } from "../compile/kernel/module.ts";

/** What makes many rows faster. None of it changes a bit of the outcomes. */
export interface Speed {
  /** Starts modules of WebAssembly, where there is some: then many rows follow a kernel. */
  readonly instantiate?: Instantiate;
  /** Rows from which on a kernel is made; default: as many as pay for making it. */
  readonly kernelFrom?: number;
}
