import { describe, expect, test } from "vitest";
import { DrawBoard } from "../../src/analysis/draw-board.ts";

const shape = { draws: 10, blockDraws: 4, slots: 2, strategies: 2, accounts: 3, groups: 2, kept: 5 };

describe("a board", () => {
  test("gives each block out once, the last one shorter", () => {
    const board = new DrawBoard(shape);
    expect([board.take(), board.take(), board.take(), board.take()]).toEqual([0, 1, 2, -1]);
    expect([0, 1, 2].map((block) => board.places(block)).map(({ from, count }) => [from, count])).toEqual([
      [0, 4],
      [4, 4],
      [8, 2],
    ]);
  });

  test("is the same to all who share its memory", () => {
    const board = DrawBoard.shared(shape);
    const other = new DrawBoard(board.gift.shape, board.gift.memory);
    expect([board.take(), other.take(), board.take(), other.take()]).toEqual([0, 1, 2, -1]);
    other.places(1).totals[7] = 42;
    other.count(4);
    other.publish(1, true);
    expect([board.state(0), board.state(1)]).toEqual(["pending", "good"]);
    expect(board.places(1).totals[7]).toBe(42);
    expect(board.done).toBe(4);
    other.cancel();
    expect(board.isCancelled).toBe(true);
    expect(board.take()).toBe(-1);
  });

  test("has places for every number of a block that no other place overlaps", () => {
    const board = new DrawBoard(shape);
    const arrays = [0, 1].flatMap((block) => {
      const { totals, lifeYears, groups, rows } = board.places(block);
      return [totals, lifeYears, rows, ...groups.flat().flatMap(({ cost, effect }) => [cost, effect])];
    });
    for (const [i, array] of arrays.entries()) array.fill(i + 1);
    for (const [i, array] of arrays.entries()) expect(new Set(array)).toEqual(new Set([i + 1]));
    expect(arrays.slice(0, 3).map(({ length }) => length)).toEqual([24, 8, 20]);
    expect(arrays).toHaveLength(2 * (3 + 2 * 2 * 2));
  });

  test("has room for a block when the one before it in its place is read", () => {
    const board = new DrawBoard(shape);
    expect([0, 1, 2].map((block) => board.hasRoom(block))).toEqual([true, true, false]);
    board.publish(0, true);
    expect(board.hasRoom(2)).toBe(false);
    board.release(1);
    expect(board.hasRoom(2)).toBe(true);
    // block 2 lies where block 0 lay, and is not done yet
    expect(board.state(2)).toBe("pending");
  });

  test("gives out nothing after the first block that failed", () => {
    const board = new DrawBoard({ ...shape, draws: 100, slots: 4 });
    for (let block = 0; block < 3; block++) board.take();
    board.publish(2, false);
    expect(board.take()).toBe(-1);
    board.publish(1, false);
    board.publish(0, true);
    expect([0, 1, 2].map((block) => board.state(block))).toEqual(["good", "failed", "failed"]);
    expect(board.take()).toBe(-1);
  });

  test("wakes who sleeps when something has changed", () => {
    const board = DrawBoard.shared(shape);
    const heard = board.bell;
    board.release(1);
    const before = performance.now();
    board.sleep(heard);
    expect(performance.now() - before).toBeLessThan(900);
    expect(board.bell).not.toBe(heard);
  });

  test("has room for results where its own memory lies", () => {
    expect(new DrawBoard(shape).room(3).buffer).toBeInstanceOf(ArrayBuffer);
    expect(DrawBoard.shared(shape).room(3).buffer).toBeInstanceOf(SharedArrayBuffer);
  });
});
