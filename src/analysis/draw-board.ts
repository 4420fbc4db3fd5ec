/** What a board is for: all sizes of a run. */
export interface BoardShape {
  readonly draws: number;
  /** Draws of a block, which one thread takes at a time; no number depends on it. */
  readonly blockDraws: number;
  /** Blocks that may wait for the lead at once, 1 or more. */
  readonly slots: number;
  readonly strategies: number;
  readonly accounts: number;
  readonly groups: number;
  /** Components of a row where rows are kept, else 0. */
  readonly kept: number;
}

/** The memory of a board, which threads share. */
export interface BoardMemory {
  readonly control: ArrayBuffer | SharedArrayBuffer;
  readonly values: ArrayBuffer | SharedArrayBuffer;
}

/** The places of a block's outcomes. */
export interface BlockPlaces {
  /** Number of the first draw. */
  readonly from: number;
  readonly count: number;
  /** `[draw][strategy][account]`. */
  readonly totals: Float64Array;
  /** `[draw][strategy]`. */
  readonly lifeYears: Float64Array;
  /** Costs and effects by draw, `[group][strategy]`. */
  readonly groups: readonly (readonly { readonly cost: Float64Array; readonly effect: Float64Array }[])[];
  /** `[draw][component]`, empty unless rows are kept. */
  readonly rows: Float64Array;
}

// places of the control array
const cancelled = 0;
const next = 1;
const released = 2;
const done = 3;
const failed = 4;
const bell = 5;
const firstSlot = 8;

const never = 2 ** 31 - 1;

// a thread that sleeps looks up now and then, even if nobody rings
const sleepMilliseconds = 1000;

/**
 * Where the threads of a run meet: which blocks of draws are taken, done and read, and a fixed place for the outcomes of
 * each. Any thread takes the next block and writes its places; the lead alone reads them, in the order of the draws, and
 * releases them for a later block. Counters only count and cancel: no number depends on who is first.
 *
 * Made over memory that threads share, or over its own for one thread alone. Only `sleep` needs shared memory.
 */
export class DrawBoard {
  readonly shape: BoardShape;
  private readonly memory: BoardMemory;
  readonly blocks: number;
  private readonly control: Int32Array;
  private readonly slotLength: number;

  constructor(shape: BoardShape, memory?: BoardMemory) {
    this.shape = shape;
    this.blocks = Math.ceil(shape.draws / shape.blockDraws);
    this.slotLength = slotLength(shape);
    if (memory === undefined) {
      const [control, values] = bytesOf(shape);
      this.memory = { control: new ArrayBuffer(control), values: new ArrayBuffer(values) };
    } else this.memory = memory;
    this.control = new Int32Array(this.memory.control);
    if (memory === undefined) this.control[failed] = never;
  }

  /** A board over memory that can be handed to other threads. */
  static shared(shape: BoardShape): DrawBoard {
    const [control, values] = bytesOf(shape);
    const memory = { control: new SharedArrayBuffer(control), values: new SharedArrayBuffer(values) };
    new Int32Array(memory.control)[failed] = never;
    return new DrawBoard(shape, memory);
  }

  /** What another thread needs to make a board of its own over the same memory. */
  get gift(): { readonly shape: BoardShape; readonly memory: BoardMemory } {
    return { shape: this.shape, memory: this.memory };
  }

  /** The next block that nobody has taken, or -1. None is given out after a block that failed. */
  take(): number {
    if (this.isCancelled || Atomics.load(this.control, next) >= this.blocks) return -1;
    const block = Atomics.add(this.control, next, 1);
    return block < this.blocks && block < Atomics.load(this.control, failed) ? block : -1;
  }

  /** True when the place of a block is free. */
  hasRoom(block: number): boolean {
    return block < Atomics.load(this.control, released) + this.shape.slots;
  }

  /** Draws of a block and the places of their outcomes. */
  places(block: number): BlockPlaces {
    const { draws, blockDraws, slots, strategies: S, accounts: A, groups: G, kept } = this.shape;
    const from = block * blockDraws;
    const count = Math.min(blockDraws, draws - from);
    let at = (block % slots) * this.slotLength;
    const part = (perDraw: number): Float64Array => {
      const values = new Float64Array(this.memory.values, 8 * at, perDraw * count);
      at += perDraw * blockDraws;
      return values;
    };
    return {
      from,
      count,
      totals: part(S * A),
      lifeYears: part(S),
      groups: Array.from({ length: G }, () => Array.from({ length: S }, () => ({ cost: part(1), effect: part(1) }))),
      rows: part(kept),
    };
  }

  /** Says that a block's places are written, or that something is wrong with one of its draws. */
  publish(block: number, isGood: boolean): void {
    if (!isGood) {
      let first = Atomics.load(this.control, failed);
      while (block < first) first = Math.min(first, Atomics.compareExchange(this.control, failed, first, block));
    }
    Atomics.store(this.control, this.slot(block), isGood ? block + 1 : -block - 1);
    this.ring();
  }

  /** Whether a block's places are written. */
  state(block: number): "pending" | "good" | "failed" {
    const found = Atomics.load(this.control, this.slot(block));
    if (found === block + 1) return "good";
    return found === -block - 1 ? "failed" : "pending";
  }

  /** Says that all blocks before this one are read, so that their places are free. */
  release(block: number): void {
    Atomics.store(this.control, released, block);
    this.ring();
  }

  /** Counts draws that are done. */
  count(draws: number): void {
    Atomics.add(this.control, done, draws);
  }

  /** Draws done so far, by all threads. */
  get done(): number {
    return Math.min(this.shape.draws, Atomics.load(this.control, done));
  }

  /** Lets all threads stop as soon as they notice. */
  cancel(): void {
    Atomics.store(this.control, cancelled, 1);
    this.ring();
  }

  /** True once the run is to stop. */
  get isCancelled(): boolean {
    return Atomics.load(this.control, cancelled) !== 0;
  }

  /** What `sleep` is to be given: take it first, then look whether there is something to do. */
  get bell(): number {
    return Atomics.load(this.control, bell);
  }

  /** Sleeps until something has changed since `heard`. Not for threads that others wait for, as a page's own is. */
  sleep(heard: number): void {
    Atomics.wait(this.control, bell, heard, sleepMilliseconds);
  }

  /** Room for numbers that leave with the result: shared if the board is. */
  room(length: number): Float64Array {
    const isShared = !(this.memory.values instanceof ArrayBuffer);
    return isShared ? new Float64Array(new SharedArrayBuffer(8 * length)) : new Float64Array(length);
  }

  private slot(block: number): number {
    return firstSlot + (block % this.shape.slots);
  }

  private ring(): void {
    Atomics.add(this.control, bell, 1);
    Atomics.notify(this.control, bell);
  }
}

function slotLength({ blockDraws, strategies, accounts, groups, kept }: BoardShape): number {
  return blockDraws * (strategies * (accounts + 1 + 2 * groups) + kept);
}

function bytesOf(shape: BoardShape): readonly [number, number] {
  return [4 * (firstSlot + shape.slots), 8 * shape.slots * slotLength(shape)];
}
