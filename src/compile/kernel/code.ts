import { Bytes } from "./bytes.ts";

// Opcodes of the WebAssembly Core Specification 2.0 (W3C), only those the kernel needs; nothing relaxed, nothing fused.

const simd = {
  load: 0x00,
  loadSplat64: 0x0a,
  store: 0x0b,
  constant: 0x0c,
  extractI32: 0x1b,
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
export type LaneOp = Exclude<keyof typeof simd, "load" | "loadSplat64" | "store" | "constant" | "extractI32">;

const integers = {
  add: 0x6a,
  subtract: 0x6b,
  multiply: 0x6c,
  and: 0x71,
  shiftLeft: 0x74,
  lessUnsigned: 0x49,
} as const;

const doubles = {
  equal: 0x61,
  less: 0x63,
  lessOrEqual: 0x65,
  add: 0xa0,
  subtract: 0xa1,
  multiply: 0xa2,
  divide: 0xa3,
} as const;

const valueTypes = { i32: 0x7f, f64: 0x7c, v128: 0x7b } as const;

/** Types of locals. */
export type LocalType = keyof typeof valueTypes;

/** The body of one function: locals and instructions, appended in order. */
export class Code {
  private readonly instructions = new Bytes();
  private readonly locals: LocalType[];
  readonly parameters: number;

  /** A body of a function of `parameters` i32 arguments, which are its first locals. */
  constructor(parameters: number, locals: LocalType[] = []) {
    this.parameters = parameters;
    this.locals = locals;
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

  /** Pops what is on top. */
  drop(): this {
    this.instructions.byte(0x1a);
    return this;
  }

  /** Pushes an i32. */
  i32(value: number): this {
    this.instructions.byte(0x41).signed(value);
    return this;
  }

  /** Pushes an f64. */
  number(value: number): this {
    this.instructions.byte(0x44).double(value);
    return this;
  }

  /** i32 arithmetic of the two on top. */
  integer(op: keyof typeof integers): this {
    this.instructions.byte(integers[op]);
    return this;
  }

  /** f64 arithmetic of the two on top, or their comparison as an i32. */
  double(op: keyof typeof doubles): this {
    this.instructions.byte(doubles[op]);
    return this;
  }

  /** Of three on top, the first where the third, an i32, is not 0, else the second; not for vectors. */
  select(): this {
    this.instructions.byte(0x1b);
    return this;
  }

  /** The i32 nearest to the f64 on top towards 0, read as unsigned; the nearest there is, and 0 for NaN. */
  truncate(): this {
    this.instructions.byte(0xfc).unsigned(0x03);
    return this;
  }

  /** An unsigned i32 as an f64. */
  convert(): this {
    this.instructions.byte(0xb8);
    return this;
  }

  /** Calls a function by its number in the module. */
  call(index: number): this {
    this.instructions.byte(0x10).unsigned(index);
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

  /** Loads an i32. */
  loadInteger(offset: number): this {
    this.instructions.byte(0x28).unsigned(2).unsigned(offset);
    return this;
  }

  /** Stores an i32 to the address below it plus `offset`. */
  storeInteger(offset: number): this {
    this.instructions.byte(0x36).unsigned(2).unsigned(offset);
    return this;
  }

  /** Loads an f64. */
  loadDouble(offset: number): this {
    this.instructions.byte(0x2b).unsigned(3).unsigned(offset);
    return this;
  }

  /** Stores an f64 to the address below it plus `offset`. */
  storeDouble(offset: number): this {
    this.instructions.byte(0x39).unsigned(3).unsigned(offset);
    return this;
  }

  /** Of two vectors, their first lanes, or their second ones. */
  unzip(lane: 0 | 1): this {
    const bytes = Array.from({ length: 16 }, (_, i) => (i < 8 ? i : i + 8) + 8 * lane);
    this.instructions.byte(0xfd).unsigned(0x0d).raw(bytes);
    return this;
  }

  /** The low half of one lane's bits as an i32. */
  extract(lane: 0 | 1): this {
    this.instructions
      .byte(0xfd)
      .unsigned(simd.extractI32)
      .byte(2 * lane);
    return this;
  }

  /** Code with the same locals, to be appended later. */
  fork(): Code {
    return new Code(this.parameters, this.locals);
  }

  /** Appends the instructions of a fork. */
  append(fork: Code): this {
    this.instructions.append(fork.instructions);
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
    for (const { type, count } of runs) body.unsigned(count).byte(valueTypes[type]);
    return body.append(this.instructions).byte(0x0b);
  }
}
