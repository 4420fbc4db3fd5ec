import { Bytes } from "./bytes.ts";
import type { Code } from "./code.ts";

// Source: WebAssembly Core Specification 2.0, binary format (W3C).

const sections = { type: 1, import: 2, function: 3, export: 7, code: 10 } as const;
const i32 = 0x7f;

/** A function of the module: how many i32 arguments it takes, its name outside or null, its body. */
export interface KernelFunction {
  readonly name: string | null;
  readonly parameters: number;
  readonly code: Code;
}

/** The functions of a module, each known by its number. */
export class Functions {
  readonly list: KernelFunction[] = [];

  /** Adds a function; returns its number. */
  add(parameters: number, code: Code, name: string | null = null): number {
    return this.list.push({ name, parameters, code }) - 1;
  }
}

/** A module that runs: the bytes of its memory, and what it exports. */
export interface Instance {
  readonly memory: ArrayBuffer;
  readonly exports: Readonly<Record<string, (...integers: readonly number[]) => void>>;
}

/**
 * Gives a module a memory of so many pages (65,536 bytes each) as its import `memory.memory`, and starts it. The core
 * knows no WebAssembly of its own: the host or the page hands it in.
 */
export type Instantiate = (module: Uint8Array, pages: number) => Instance;

/**
 * A WebAssembly module that imports one memory (`memory.memory`, shared or not) and nothing else; its functions take i32
 * arguments and give no results.
 */
export function moduleBytes(
  functions: readonly KernelFunction[],
  pages: { readonly least: number; readonly most: number; readonly shared: boolean },
): Uint8Array {
  const module = new Bytes().raw([0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00]);
  const section = (id: number, content: Bytes): void => {
    module.byte(id).sized(content);
  };
  // one type for each number of arguments
  const most = Math.max(0, ...functions.map(({ parameters }) => parameters));
  const types = new Bytes().unsigned(most + 1);
  for (let count = 0; count <= most; count++) {
    types.byte(0x60).unsigned(count);
    for (let i = 0; i < count; i++) types.byte(i32);
    types.unsigned(0);
  }
  section(sections.type, types);
  const limits = new Bytes()
    .byte(pages.shared ? 0x03 : 0x01)
    .unsigned(pages.least)
    .unsigned(pages.most);
  section(sections.import, new Bytes().unsigned(1).name("memory").name("memory").byte(0x02).append(limits));
  const declared = new Bytes().unsigned(functions.length);
  for (const { parameters } of functions) declared.unsigned(parameters);
  section(sections.function, declared);
  const named = [...functions.entries()].flatMap(([index, { name }]) => (name === null ? [] : [{ index, name }]));
  const exported = new Bytes().unsigned(named.length);
  for (const { index, name } of named) exported.name(name).byte(0x00).unsigned(index);
  section(sections.export, exported);
  const bodies = new Bytes().unsigned(functions.length);
  for (const { code } of functions) bodies.sized(code.body());
  section(sections.code, bodies);
  return module.taken();
}
