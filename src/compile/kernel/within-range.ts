import * as E from "../../numerics/exp-table.ts";
import type { Code } from "./code.ts";
import { stepTableAt, tableBytes } from "./log-tables.ts";
import { splitter } from "./power-logarithm.ts";

/** Where `WithinRange` may be used: an argument, or the logarithm of a power, is at most this in size and not NaN. */
export const widest = 690;

/** Pairs of lanes that one turn of a loop takes: arrays must have room for a whole number of turns. */
export const pairsPerTurn = 2;

/** Pairs that go through the first loop before they go through the second. */
const pairsPerBlock = 64;

const blockBytes = 16 * (pairsPerBlock + pairsPerTurn);

/** Powers of as many bases are made of one array of exponents at most. */
export const mostBases = 6;

/** Bytes of memory for what the first loop leaves to the second: steps, of each base or beside arguments whose sign is needed. */
export const workBytes = mostBases * blockBytes;

/** A function within range: e^x; e^x - 1, see `WithinRange.expm1`. */
export type Within =
  | { readonly is: "exp" }
  | { readonly is: "expm1"; readonly signed: boolean; readonly near: boolean };

/**
 * Emits functions over arrays of pairs that are known to lie where nothing overflows or vanishes: the bits of
 * `Elementary` and `Power`, at half the instructions. A power of two is put on the table's entry at once, which commutes
 * with rounding there, and no clamp or special case is left.
 *
 * Each block goes through two loops: the first takes the argument apart into steps of ln(2)/256 and a rest, the second
 * looks the steps up and puts all together. That is faster than one loop, in which too many operations would wait for
 * those before them for the processor to look further ahead.
 */
export class WithinRange {
  private readonly code: Code;
  private readonly tablesAt: number;
  private readonly vectors: number[] = [];

  /** `tablesAt` is where the tables are, with `workBytes` behind them. */
  constructor(code: Code, tablesAt: number) {
    this.code = code;
    this.tablesAt = tablesAt;
  }

  /** The body of a function of the address of the first pair and of the end. The pairs change in place. */
  loops(within: Within): void {
    const at = this.code.local("i32");
    this.blocks(
      (each) => {
        each([{ from: 0, at }], (work, offset) => this.takeApart(within, at, work, offset));
        each([{ from: 0, at }], (work, offset) => {
          this.code.get(at);
          if (within.is === "expm1") this.expm1(within.signed, within.near, at, work, offset);
          else this.exp("short", at, work, offset);
          this.code.store(offset);
        });
      },
      [0],
    );
  }

  /**
   * The body of a function that raises bases to one array of exponents: of the address of the first exponent and of the
   * end, of the first base's split logarithm (as `PowerLogarithm.split` leaves it), then, for each further base, of an array
   * for its powers and of its split logarithm. The powers of the first take the place of the exponents.
   */
  powers(bases: number): void {
    const { code } = this;
    const lists = Array.from({ length: bases }, (_, i) => ({
      from: i === 0 ? 0 : 1 + 2 * i,
      logarithm: 2 + 2 * i,
      at: code.local("i32"),
    }));
    this.blocks(
      (each) => {
        each(lists, (work, offset) => {
          const [y, high, low] = [4, 5, 6].map((i) => this.vector(i)) as [number, number, number];
          code.get(lists[0]!.at).load(offset).tee(y);
          code.constant(splitter).lanes("multiply").tee(high).get(high).get(y).lanes("subtract").lanes("subtract");
          code.set(high).get(y).get(high).lanes("subtract").set(low);
          for (const [i, { at, logarithm }] of lists.entries())
            this.takePowerApart(logarithm, at, work, offset, i * blockBytes);
        });
        for (const [i, list] of lists.entries())
          each([list], (work, offset) => {
            code.get(list.at);
            this.exp("long", list.at, work, offset, i * blockBytes);
            code.store(offset);
          });
      },
      lists.map(({ from }) => from),
    );
  }

  /**
   * Goes through arrays a block at a time; `block` emits loops over the pairs of a block with `each`, given the arrays it
   * moves along. The first array is the one from argument 0 to argument 1; `starts` are the arguments that begin arrays.
   */
  private blocks(
    block: (
      each: (
        arrays: readonly { readonly from: number; readonly at: number }[],
        pair: (work: number, offset: number) => void,
      ) => void,
    ) => void,
    starts: readonly number[],
  ): void {
    const { code } = this;
    const [from, to] = [0, 1];
    const [work, left, end] = [code.local("i32"), code.local("i32"), code.local("i32")];
    code.get(to).get(from).integer("subtract").set(left);
    const bytes = 16 * pairsPerTurn;
    code.loop(() => {
      const whole = 16 * pairsPerBlock;
      // where the work space of this block ends
      code.i32(whole).get(left).i32(whole).get(left).integer("lessUnsigned").select();
      code
        .i32(this.tablesAt + tableBytes)
        .integer("add")
        .set(end);
      block((arrays, pair) => {
        for (const array of arrays) code.get(array.from).set(array.at);
        code.i32(this.tablesAt + tableBytes).set(work);
        code.loop(() => {
          for (let turn = 0; turn < pairsPerTurn; turn++) pair(work, 16 * turn);
          for (const { at } of arrays) code.get(at).i32(bytes).integer("add").set(at);
          code.get(work).i32(bytes).integer("add").tee(work).get(end).integer("lessUnsigned");
        });
      });
      for (const start of starts) code.get(start).i32(whole).integer("add").set(start);
      code.get(left).i32(whole).integer("subtract").set(left);
      code.get(from).get(to).integer("lessUnsigned");
    });
  }

  private vector(index: number): number {
    while (this.vectors.length <= index) this.vectors.push(this.code.local("v128"));
    return this.vectors[index]!;
  }

  /** Leaves the bits that hold the number of steps in the work space, and the rest in place. */
  private takeApart(within: Within, at: number, work: number, offset: number): void {
    const { code } = this;
    if (within.is === "expm1" && within.signed)
      code
        .get(work)
        .get(at)
        .load(offset)
        .store(blockBytes + offset);
    code.get(work).get(at).load(offset);
    this.steps(offset);
    code.get(at);
    this.rest();
    code.store(offset);
  }

  /** As `takeApart`, of the product of an exponent, split in two parts, with the logarithm at the address in a local. */
  private takePowerApart(logarithm: number, at: number, work: number, offset: number, place: number): void {
    const { code } = this;
    const [lost, y, high, low] = [3, 4, 5, 6].map((i) => this.vector(i)) as [number, number, number, number];
    code.get(low).get(logarithm).load(0).lanes("multiply");
    code.get(y).get(logarithm).load(16).lanes("multiply").lanes("add").set(lost);
    code.get(work).get(high).get(logarithm).load(0).lanes("multiply");
    this.steps(place + offset);
    code.get(at);
    this.rest();
    code.get(lost).lanes("add").store(offset);
  }

  /** With an address and an argument on top: stores the bits that hold its number of steps there, and keeps both. */
  private steps(offset: number): void {
    const { code } = this;
    const [x, pattern, steps] = [0, 1, 2].map((i) => this.vector(i)) as [number, number, number];
    code.tee(x).constant(E.EXP_STEPS_PER_UNIT).lanes("multiply").constant(E.EXP_ROUNDER).lanes("add").tee(pattern);
    code.store(offset);
    code.get(pattern).constant(E.EXP_ROUNDER).lanes("subtract").set(steps);
  }

  /** Pushes what is left of the argument after its steps. */
  private rest(): void {
    const { code } = this;
    const [x, , steps] = [0, 1, 2].map((i) => this.vector(i)) as [number, number, number];
    code.get(x).get(steps).constant(E.EXP_STEP_HIGH).lanes("multiply").lanes("subtract");
    code.get(steps).constant(E.EXP_STEP_LOW).lanes("multiply").lanes("subtract");
  }

  /** Puts e^x together, with the polynomial of exp, or the longer one of powers; the steps lie at a place of the work space. */
  private exp(polynomial: "short" | "long", at: number, work: number, offset: number, place = 0): void {
    const { code } = this;
    const [r, tail, full, square] = [0, 1, 2, 3].map((i) => this.vector(i)) as [number, number, number, number];
    this.entries(work, place + offset, E.EXP_ENTRIES, 0, tail, full);
    this.shift(work, place + offset, full);
    code.get(at).load(offset).set(r);
    code.get(r).get(r).lanes("multiply").set(square);
    code.get(full).get(full).get(r).get(tail).get(square);
    if (polynomial === "long") this.longTail(r, square);
    else {
      code.constant(E.EXP_C2).get(r).constant(E.EXP_C3).lanes("multiply").lanes("add");
      code.get(square).constant(E.EXP_C4).lanes("multiply").lanes("add");
    }
    code.lanes("multiply").lanes("add").lanes("add").lanes("multiply").lanes("add");
  }

  /**
   * Puts e^x - 1 together. `signed` where x may be a zero, whose sign must be kept; `near` where x is less than `nearZero`
   * in size, so that 2^(k/256) - 1 stands in a table.
   */
  private expm1(signed: boolean, near: boolean, at: number, work: number, offset: number): void {
    const { code } = this;
    const [r, tail, less, square, q, high] = [0, 1, 2, 3, 4, 5].map((i) => this.vector(i)) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    if (near) this.entries(work, offset, 4 * E.EXP_ENTRIES, stepTableAt, tail, less);
    else {
      this.entries(work, offset, E.EXP_ENTRIES, 0, tail, less);
      this.shift(work, offset, less);
      code.get(less).constant(1).lanes("subtract").set(less);
    }
    code.get(at).load(offset).set(r);
    code.get(r).get(r).lanes("multiply").set(square);
    code.get(tail).get(tail).get(r).lanes("multiply").lanes("add");
    code.get(square);
    this.longTail(r, square);
    code.lanes("multiply").lanes("add").set(q);
    code.get(less).get(r).lanes("add").set(high);
    code.get(high);
    code.get(less).get(high).lanes("subtract").get(r).lanes("add");
    code.get(q).get(less).get(r).get(q).lanes("add").lanes("multiply").lanes("add");
    code.lanes("add").lanes("add");
    if (!signed) return;
    // the sign of the argument, which all results but zeros have already
    code
      .get(work)
      .load(blockBytes + offset)
      .pattern(0x80000000, 0)
      .lanes("and")
      .lanes("or");
  }

  /** C2 + C3 r + r^2 (C4 + C5 r). */
  private longTail(r: number, square: number): void {
    const { code } = this;
    code.constant(E.EXPM1_C2).get(r).constant(E.EXPM1_C3).lanes("multiply").lanes("add");
    code.get(square);
    code.constant(E.EXPM1_C4).get(r).constant(E.EXPM1_C5).lanes("multiply").lanes("add");
    code.lanes("multiply").lanes("add");
  }

  /** Sets both numbers of a table's entry for the low bits of the steps; the mask keeps inside the table. */
  private entries(work: number, offset: number, count: number, table: number, first: number, second: number): void {
    const { code } = this;
    for (const lane of [0, 1]) {
      code.get(work).loadInteger(offset + 8 * lane);
      code
        .i32(count - 1)
        .integer("and")
        .i32(4)
        .integer("shiftLeft")
        .load(this.tablesAt + table);
    }
    code.set(second).set(first);
    code.get(first).get(second).unzip(0);
    code.get(first).get(second).unzip(1).set(second).set(first);
  }

  /** Adds the number of whole doublings to a table's scale, whose bits lack the number of its entry for that. */
  private shift(work: number, offset: number, scale: number): void {
    this.code.get(scale).get(work).load(offset).i32(44).lanes("shiftLeft64").lanes("add64").set(scale);
  }
}
