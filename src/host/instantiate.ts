/** What of WebAssembly is used here; the types of Node and of the page name it in different ways or not at all. */
declare const WebAssembly: {
  readonly Memory: new (limits: { initial: number; maximum: number }) => { readonly buffer: ArrayBuffer };
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (
    module: object,
    imports: object,
  ) => { readonly exports: Readonly<Record<string, (...integers: readonly number[]) => void>> };
};

/**
 * Compiles and starts a module with a memory of so many pages as its only import, `memory.memory`; comes back with the
 * memory's bytes and what the module exports.
 */
export function instantiate(
  bytes: Uint8Array,
  pages: number,
): {
  readonly memory: ArrayBuffer;
  readonly exports: Readonly<Record<string, (...integers: readonly number[]) => void>>;
} {
  const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { memory: { memory } });
  return { memory: memory.buffer, exports };
}
