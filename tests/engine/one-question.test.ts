import { join } from "node:path";
import { expect, test, vi } from "vitest";
import * as reference from "../../src/engine/reference.ts";
import { folderFiles } from "../../src/host/files.ts";
import { openStudy, runBase } from "../../src/study.ts";

const study = openStudy(folderFiles(join(import.meta.dirname, "../..")), "scenarios/harbour/base.scenario.yaml");
const whole = runBase(study);

test.each(["compared", "works", "costs", "worth"] as const)("%s asked alone has the same answers", (only) => {
  const document = runBase(study, { only });
  expect(document.answers[only]).toEqual(whole.answers[only]);
  expect(document).toEqual(whole);
});

test("where people are and how curves run is worked out when it is read, and not before", () => {
  const referee = vi.spyOn(reference, "referee");
  const { answers } = runBase(study, { only: "worth" });
  expect(referee.mock.calls.map(([, , options]) => options?.boundaries)).toEqual([false]);
  expect(answers.works).toEqual(whole.answers.works);
  expect(referee.mock.calls.map(([, , options]) => options?.boundaries)).toEqual([false, true]);
  expect(answers.works).toBe(answers.works);
  expect(referee).toHaveBeenCalledTimes(2);
  referee.mockRestore();
});
