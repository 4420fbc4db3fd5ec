import { expect, test } from "vitest";
import { runBase } from "../../src/study.ts";
import { runCase } from "../case.ts";

const answers = runBase(
  runCase(`
    factors:
      health: [well, { ill: { label: Ill for good } }, { in_care: { clock: 2 cycles, label: In care } }]
    start: { health: well }
    events:
      onset:
        while: { health: well }
        label: Onset
        one_of:
          severe_form:
            chance: 0.1
            then: { health: in_care }
            label: Severe
            one_of: { seen_late: { chance: 0.5, label: Seen late }, seen_early: { rest: true } }
          light_form: { chance: 0.1, then: { health: ill } }`).study,
).answers;

test("branches are called by their labels, by their names where they have none", () => {
  expect(answers.compared.events.map(({ id, label }) => [id, label])).toEqual([
    ["onset", "Onset"],
    ["onset.severe_form", "Onset: Severe"],
    ["onset.severe_form.seen_late", "Onset: Severe: Seen late"],
    ["onset.severe_form.seen_early", "Onset: Severe: seen early"],
    ["onset.light_form", "Onset: light form"],
  ]);
});

test("levels are called by their labels, and a label alone gives no clock", () => {
  expect(answers.works.membership.map(({ label }) => label)).toEqual([
    "health: well",
    "health: Ill for good",
    "health: In care",
    "Dead",
  ]);
});
