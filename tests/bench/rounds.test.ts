import { expect, test } from "vitest";
import { rounds, timed } from "./rounds.ts";

test("contestants take turns, the first round is not counted, and who takes part in fewer rounds leaves early", async () => {
  const order: string[] = [];
  let clock = 0;
  const contestant = (id: string, count: number) => ({
    id,
    rounds: count,
    run: () => {
      order.push(id);
      clock += 1;
      return { user: clock, wall: 10 * clock };
    },
  });
  const taken = await rounds([contestant("a", 2), contestant("b", 1)]);
  expect(order).toEqual(["a", "b", "a", "b", "a"]);
  expect(taken.get("a")).toEqual([
    { user: 3, wall: 30 },
    { user: 5, wall: 50 },
  ]);
  expect(taken.get("b")).toEqual([{ user: 4, wall: 40 }]);
});

test("who starts anew each time stays out of the round that is not counted", async () => {
  let ran = 0;
  const fresh = { id: "fresh", rounds: 2, isFresh: true, run: () => ({ user: ++ran, wall: 0 }) };
  const taken = await rounds([fresh]);
  expect(taken.get("fresh")!.map(({ user }) => user)).toEqual([1, 2]);
});

test("whoever fails in the round before the counted ones ends all", async () => {
  const ran: string[] = [];
  const fine = { id: "fine", rounds: 3, run: () => ({ user: ran.push("fine"), wall: 0 }) };
  const wrong = {
    id: "wrong",
    rounds: 3,
    run: () => {
      throw new Error("it disagrees");
    },
  };
  await expect(rounds([fine, wrong])).rejects.toThrow("it disagrees");
  expect(ran).toEqual(["fine"]);
});

test("work is timed in seconds of the processor and of the clock", async () => {
  const busy = await timed(() => {
    let sum = 0;
    for (let i = 0; i < 2e7; i++) sum += i % 7;
    return sum;
  });
  expect(busy.result).toBeGreaterThan(0);
  expect(busy.user).toBeGreaterThan(0.001);
  expect(busy.user).toBeLessThan(20);
  const idle = await timed(() => new Promise((done) => setTimeout(done, 60)));
  expect(idle.wall).toBeGreaterThan(0.05);
  expect(idle.user).toBeLessThan(idle.wall);
});
