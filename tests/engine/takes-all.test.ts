import { expect, test } from "vitest";
import { runCase } from "../case.ts";

// parts of a share do not subtract from it to exactly 0, so a state that nobody can hold any more would keep a trace
test("an instant that takes everybody leaves no trace of rounding where they were", () => {
  const outcome = runCase(
    `
    inputs: { part: { is: probability, of: case, over: [a, b, c] }, marked: { is: share }, mark: { is: rate, per: year } }
    factors: { course: [waiting, a, b, c], marker: [no, yes] }
    start: { course: waiting, marker: { yes: marked, no: rest } }
    events:
      split:
        at: 0
        while: { course: waiting }
        one_of:
          a: { chance: part.a, then: { course: a } }
          b: { chance: part.b, then: { course: b } }
          c: { rest: true, then: { course: c } }
      marking: { while: { marker: no }, rate: mark, then: { marker: yes } }
    `,
    `
    inputs:
      part: { fixed: { a: 0.15, b: 0.65, c: 0.2 }, why: for the test, source: invented }
      marked: { fixed: 0.135, why: for the test, source: invented }
      mark: { fixed: 0.2 / year, why: for the test, source: invented }
    `,
  );
  expect(outcome.share({ course: "waiting" })).toEqual([0, 0, 0, 0, 0]);
  expect(outcome.share({}).map((alive) => Math.abs(alive - 1) < 1e-15)).toEqual([true, true, true, true, true]);
});
