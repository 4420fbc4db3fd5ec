import { expect, test } from "vitest";
import { basisNote } from "../../src/report/basis-note.ts";
import { followUpNote } from "../../src/report/follow-up.ts";
import { questions } from "../../src/report/result.ts";
import { answeredDocument } from "./document.ts";

const drawn = answeredDocument();

test("answers from base values are told apart where draws were run, and only there", () => {
  const told = questions.map(({ id }) => basisNote(drawn, id) !== null);
  expect(told).toEqual([true, true, true, false, false]);
  const base = { ...drawn, meta: { ...drawn.meta, draws: 0 } };
  expect(questions.map(({ id }) => basisNote(base, id))).toEqual([null, null, null, null, null]);
});

test("the follow-up is told where it is known and shorter than the horizon", () => {
  const followed = (followUpYears: number | null) => ({
    ...drawn,
    answers: { ...drawn.answers, compared: { ...drawn.answers.compared, followUpYears } },
  });
  expect(drawn.answers.compared.followUpYears).toBeNull();
  expect(followUpNote(followed(null))).toBeNull();
  expect(followUpNote(followed(10))).toBeNull();
  expect(followUpNote(followed(0.5))).toMatch(/^The shaded time, 6 months, /);
});
