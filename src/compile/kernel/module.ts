import { Bytes } from "./bytes.ts";
import type { Code } from "./code.ts";

// Source: WebAssembly Core Specification 2.0, binary format (W3C).

const sections = { type: 1, import: 2, function: 3, export: 7, code: 10 } as const;
const i32 = 0x7f;

/** A function of the module: how many i32 arguments it takes, its name outside, its body. */
export interface KernelFunction {
  readonly name: string;
  readonly parameters: number;
  readonly code: Code;
}

/**
 * A WebAssembly module that imports one memory (`memory.memory`, shared or not) and exports functions of i32 arguments
 * without results.
 */
export function moduleBytes(
  functions: readonly KernelFunction[],
  pages: { readonly least: number; readonly most: number; readonly shared: boolean },
): Uint8Array {
  const module = new Bytes().raw([0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00]);
  const section = (id: number, content: Bytes): void => {
    module.byte(id).sized(content);
  };
  const types = new Bytes().unsigned(functions.length);
  for (const { parameters } of functions) {
    types.byte(0x60).unsigned(parameters);
    for (let i = 0; i < parameters; i++) types.byte(i32);
    types.unsigned(0);
  }
  section(sections.type, types);
  const limits = new Bytes()
    .byte(pages.shared ? 0x03 : 0x01)
    .unsigned(pages.least)
    .unsigned(pages.most);
  section(sections.import, new Bytes().unsigned(1).name("memory").name("memory").byte(0x02).raw(limits.taken()));
  const declared = new Bytes().unsigned(functions.length);
  for (const index of functions.keys()) declared.unsigned(index);
  section(sections.function, declared);
  const exported = new Bytes().unsigned(functions.length);
  for (const [index, { name }] of functions.entries()) exported.name(name).byte(0x00).unsigned(index);
  section(sections.export, exported);
  const bodies = new Bytes().unsigned(functions.length);
  for (const { code } of functions) bodies.sized(code.body());
  section(sections.code, bodies);
  return module.taken().slice();
}
