import { mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, test } from "vitest";
import { type Finding, InputError } from "../src/errors.ts";
import { findCase, folderFiles } from "../src/host/files.ts";
import { type Code, says } from "../src/messages.ts";
import { openStudy, runBase } from "../src/study.ts";
import { caseFiles, scenarioPath } from "./case.ts";

// A mistake is a folder: a model and a scenario as an analyst might write them, and what the tool says to it. To add one,
// add a folder whose name begins with the code; `expected.json` lists every finding.

const folder = fileURLToPath(new URL("./bad/", import.meta.url));
const names = readdirSync(folder).sort();

/** Codes that no file can raise, with the reason. */
const elsewhere: ReadonlyMap<string, string> = new Map([
  ["no-draws", "asked of the command line, not of a file"],
  ["seed-invalid", "an option of a run, not of a file"],
  ["worker-lost", "of a thread, not of a file"],
]);

interface Expected {
  readonly code: Code;
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly path: string;
  readonly hint: string;
}

const seen = new Set<Code>();

function findingsOf(work: () => void): readonly Finding[] {
  try {
    work();
    return [];
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const { code } of error.findings) seen.add(code);
    return error.findings;
  }
}

describe("a mistake in a file", () => {
  test.each(names)("%s is found at its place, with what to do", (name) => {
    const root = join(folder, name);
    const expected = JSON.parse(readFileSync(join(root, "expected.json"), "utf8")) as readonly Expected[];
    const found = findingsOf(() => {
      const { path } = findCase(join(root, "scenarios/base.scenario.yaml"));
      runBase(openStudy(folderFiles(root), path));
    });
    expect(found.map(({ code, file, line, column, path, hint }) => ({ code, file, line, column, path, hint }))).toEqual(
      expected,
    );
    expect(expected.map(({ code }) => code)).toContain(name.replace(/--.*/, ""));
  });
});

describe("a mistake that no small folder can hold", () => {
  const made = mkdtempSync(join(tmpdir(), "steelyard-"));
  afterAll(() => rmSync(made, { recursive: true }));

  test("a file that is too large is refused unread", () => {
    const files = caseFiles("", `# ${"x".repeat(300_000)}`);
    expect(findingsOf(() => openStudy(files, scenarioPath))).toMatchObject([
      { code: "file-too-large", file: scenarioPath, line: 1, column: 1, hint: "keep it below 300000 characters" },
    ]);
  });

  test("a file above which no folder holds models/ has no case", () => {
    const file = join(made, "lonely.scenario.yaml");
    writeFileSync(file, "scenario: lonely\n");
    const hint = "place the file below a folder that holds models/, or give --root";
    expect(findingsOf(() => findCase(file))).toMatchObject([{ code: "root-missing", file, line: 1, column: 1, hint }]);
    expect(findingsOf(() => folderFiles(made))).toMatchObject([{ code: "root-missing" }]);
  });

  test("a file that is not there, or outside the root given, is refused", () => {
    expect(findingsOf(() => findCase(join(made, "none.scenario.yaml")))).toMatchObject([{ code: "file-missing" }]);
    const file = join(made, "lonely.scenario.yaml");
    expect(findingsOf(() => findCase(file, join(folder, names[0]!)))).toMatchObject([{ code: "file-outside" }]);
  });

  test("a link that leads out of the root is as good as missing", () => {
    const root = mkdtempSync(join(made, "case-"));
    const secret = join(made, "secret.csv");
    writeFileSync(secret, "age,value\n0,0.1\n");
    symlinkSync(join(folder, names[0]!, "models"), join(root, "models"));
    symlinkSync(secret, join(root, "table.csv"));
    expect(folderFiles(root).read("table.csv")).toBeUndefined();
    expect(folderFiles(root).read("models/clinic.model.yaml")).toBeUndefined();
    expect(folderFiles(root).read("../secret.csv")).toBeUndefined();
  });

  test("a chain of bases that is too long is refused", () => {
    const bases = Array.from({ length: 25 }, (_, i) => [
      `scenarios/base-${i}.scenario.yaml`,
      `extends: ./base-${i + 1}.scenario.yaml\n`,
    ]);
    const files = caseFiles("", "extends: ./base-0.scenario.yaml", Object.fromEntries(bases));
    expect(findingsOf(() => openStudy(files, scenarioPath))).toMatchObject([
      { code: "unit-of-work", file: "scenarios/base-18.scenario.yaml", line: 1, column: 10, hint: "at most 20" },
    ]);
  });
});

describe("the catalogue", () => {
  const codes = Object.keys(says) as Code[];

  test("has a case for every code, or a reason why there is none", () => {
    expect(codes.filter((code) => !seen.has(code) && !elsewhere.has(code))).toEqual([]);
    expect(codes.filter((code) => seen.has(code) && elsewhere.has(code))).toEqual([]);
  });

  test("speaks the house's way: no blame, no exclamation, no final full stop", () => {
    for (const name of names) {
      const list = JSON.parse(readFileSync(join(folder, name, "expected.json"), "utf8")) as readonly Expected[];
      for (const { hint } of list) expect(hint).not.toMatch(/^[A-Z]|[.!]$|\byou (?:must|should|have)\b|please/);
    }
  });
});
