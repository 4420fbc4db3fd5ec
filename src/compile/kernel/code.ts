import { Bytes } from "./bytes.ts";

// Opcodes of the WebAssembly Core Specification 2.0 (W3C), only those the kernel needs; nothing relaxed, nothing fused.

const simd = {
  load: 0x00,
  loadSplat64: 0x0a,
  store: 0x0b,
  constant: 0x0c,
  loadLane64: 0x57,
  splat: 0x14,
  extractI64: 0x1d,
  equal: 0x47,
  unequal: 0x48,
  less: 0x49,
  greater: 0x4a,
  lessOrEqual: 0x4b,
  greaterOrEqual: 0x4c,
  not: 0x4d,
  and: 0x4e,
  andNot: 0x4f,
  or: 0x50,
  xor: 0x51,
  select: 0x52,
  floor: 0x75,
  shiftLeft64: 0xcb,
  shiftRightSigned64: 0xcc,
  shiftRight64: 0xcd,
  add64: 0xce,
  subtract64: 0xd1,
  absolute: 0xec,
  negate: 0xed,
  root: 0xef,
  add: 0xf0,
  subtract: 0xf1,
  multiply: 0xf2,
  divide: 0xf3,
  /** Of a and b pushed in that order: b where b < a, else a. */
  lower: 0xf6,
  /** Of a and b pushed in that order: b where a < b, else a. */
  higher: 0xf7,
} as const;

/** A two-lane instruction without an immediate. */
export type LaneOp = Exclude<
  keyof typeof simd,
  "load" | "loadSplat64" | "store" | "constant" | "loadLane64" | "extractI64"
>;

/** Types of locals. */
export type LocalType = "i32" | "v128";

/** The body of one function: locals and instructions, appended in order. */
export class Code {
  private readonly instructions = new Bytes();
  private readonly locals: LocalType[] = [];
  private readonly parameters: number;

  constructor(parameters: number) {
    this.parameters = parameters;
  }

  /** A new local; returns its index. */
  local(type: LocalType): number {
    return this.parameters + this.locals.push(type) - 1;
  }

  /** Number of instruction bytes so far. */
  get length(): number {
    return this.instructions.length;
  }

  /** Pushes a local. */
  get(index: number): this {
    this.instructions.byte(0x20).unsigned(index);
    return this;
  }

  /** Pops into a local. */
  set(index: number): this {
    this.instructions.byte(0x21).unsigned(index);
    return this;
  }

  /** Copies the top of the stack into a local. */
  tee(index: number): this {
    this.instructions.byte(0x22).unsigned(index);
    return this;
  }

  /** Pushes an i32. */
  i32(value: number): this {
    this.instructions.byte(0x41).signed(value);
    return this;
  }

  /** i32 sum, product, bitwise and, left shift, unsigned less-than of the two on top. */
  integer(op: "add" | "multiply" | "and" | "shiftLeft" | "lessUnsigned"): this {
    this.instructions.byte({ add: 0x6a, multiply: 0x6c, and: 0x71, shiftLeft: 0x74, lessUnsigned: 0x49 }[op]);
    return this;
  }

  /** The low 32 bits of an i64. */
  wrap(): this {
    this.instructions.byte(0xa7);
    return this;
  }

  /** Repeats `body` while it leaves a non-zero i32 on the stack. */
  loop(body: () => void): this {
    this.instructions.byte(0x03).byte(0x40);
    body();
    this.instructions.byte(0x0d).unsigned(0).byte(0x0b);
    return this;
  }

  /** A two-lane instruction. */
  lanes(op: LaneOp): this {
    this.instructions.byte(0xfd).unsigned(simd[op]);
    return this;
  }

  /** Pushes both lanes of a double constant. */
  constant(value: number): this {
    this.instructions.byte(0xfd).unsigned(simd.constant).double(value).double(value);
    return this;
  }

  /** Pushes both lanes of a 64-bit pattern given as two halves. */
  pattern(high: number, low: number): this {
    const half = (word: number): number[] => [word & 255, (word >>> 8) & 255, (word >>> 16) & 255, (word >>> 24) & 255];
    const lane = [...half(low), ...half(high)];
    this.instructions
      .byte(0xfd)
      .unsigned(simd.constant)
      .raw([...lane, ...lane]);
    return this;
  }

  /** Loads two lanes from the address on the stack plus `offset`; `aligned` to 16 bytes. */
  load(offset: number): this {
    this.instructions.byte(0xfd).unsigned(simd.load).unsigned(4).unsigned(offset);
    return this;
  }

  /** Loads one double into both lanes. */
  loadSplat(offset: number): this {
    this.instructions.byte(0xfd).unsigned(simd.loadSplat64).unsigned(3).unsigned(offset);
    return this;
  }

  /** Stores two lanes to the address below them plus `offset`. */
  store(offset: number): this {
    this.instructions.byte(0xfd).unsigned(simd.store).unsigned(4).unsigned(offset);
    return this;
  }

  /** Replaces one lane of the vector on top by the double at the address below it plus `offset`. */
  loadLane(lane: 0 | 1, offset: number): this {
    this.instructions.byte(0xfd).unsigned(simd.loadLane64).unsigned(3).unsigned(offset).byte(lane);
    return this;
  }

  /** Of two vectors, their first lanes, or their second ones. */
  unzip(lane: 0 | 1): this {
    const bytes = Array.from({ length: 16 }, (_, i) => (i < 8 ? i : i + 8) + 8 * lane);
    this.instructions.byte(0xfd).unsigned(0x0d).raw(bytes);
    return this;
  }

  /** One lane as an i64. */
  extract(lane: 0 | 1): this {
    this.instructions.byte(0xfd).unsigned(simd.extractI64).byte(lane);
    return this;
  }

  /** Locals, instructions and end, as the code section wants them. */
  body(): Bytes {
    const body = new Bytes();
    const runs: { type: LocalType; count: number }[] = [];
    for (const type of this.locals) {
      const last = runs.at(-1);
      if (last?.type === type) last.count += 1;
      else runs.push({ type, count: 1 });
    }
    body.unsigned(runs.length);
    for (const { type, count } of runs) body.unsigned(count).byte(type === "i32" ? 0x7f : 0x7b);
    return body.raw(this.instructions.taken()).byte(0x0b);
  }
}
