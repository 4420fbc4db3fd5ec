import { join } from "node:path";
import { expect, test } from "vitest";
import { folderFiles } from "../../src/host/files.ts";
import { changedCase } from "../../src/schema/changed-case.ts";
import { loadCase } from "../../src/schema/load.ts";
import { ParsedTexts } from "../../src/schema/parsed-texts.ts";
import { openStudy, runBase } from "../../src/study.ts";
import { caseFiles, scenarioPath } from "../case.ts";

test("a file is parsed once as long as its text stays the same", () => {
  const texts = new ParsedTexts();
  const root = texts.root("a: 1", "one.yaml");
  expect(texts.root("a: 1", "one.yaml")).toBe(root);
  expect(texts.root("a: 1", "two.yaml")).toMatchObject({ file: "two.yaml" });
  const changed = texts.root("a: 2", "one.yaml");
  expect(changed).toEqual(new ParsedTexts().root("a: 2", "one.yaml"));
  expect(texts.root("a: 1", "one.yaml")).not.toBe(root);
});

test("the files used last are kept, and no more than a few", () => {
  const texts = new ParsedTexts();
  const first = texts.root("a: 1", "first.yaml");
  for (let i = 0; i < 7; i++) texts.root("a: 1", `${i}.yaml`);
  expect(texts.root("a: 1", "first.yaml")).toBe(first);
  for (let i = 0; i < 8; i++) texts.root("a: 1", `${i}.yaml`);
  expect(texts.root("a: 1", "first.yaml")).not.toBe(first);
});

test("a file with mistakes tells them each time", () => {
  const texts = new ParsedTexts();
  for (let i = 0; i < 2; i++) expect(() => texts.root("a: [", "one.yaml")).toThrow(/bracket/);
  const files = caseFiles("inputs: { x: { is: nonsense } }");
  for (let i = 0; i < 2; i++) expect(() => loadCase(files, scenarioPath, texts)).toThrow(/nonsense/);
});

test("a changed scenario gives the same numbers whether or not its files were parsed before, and its model is kept", () => {
  const files = folderFiles(join(import.meta.dirname, "../.."));
  const plain = { files, path: "scenarios/harbour/base.scenario.yaml" };
  const texts = new ParsedTexts();
  const { model } = loadCase(files, plain.path, texts);
  for (const years of [5, 7]) {
    const changed = changedCase(plain, { settings: { horizon: `${years} years` } });
    const study = openStudy(changed.files, changed.path, texts);
    expect(study.program.model).toBe(model);
    expect(runBase(study)).toEqual(runBase(openStudy(changed.files, changed.path)));
  }
});
