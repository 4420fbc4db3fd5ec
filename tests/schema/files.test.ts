import { describe, expect, test } from "vitest";
import { InputError } from "../../src/errors.ts";
import { csvNumber, readCsv } from "../../src/schema/csv.ts";
import { bundleFiles, readText, resolvePath } from "../../src/schema/files.ts";

const place = { file: "scenarios/a/base.scenario.yaml", line: 3, column: 5, path: "extends" };
const problem = (work: () => unknown): string => {
  try {
    work();
    return "none";
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.findings.map(({ code, line }) => `${code} ${line}`).join();
  }
};

describe("a path in a file", () => {
  test.each([
    ["./other.yaml", "scenarios/a/other.yaml"],
    ["other.yaml", "scenarios/a/other.yaml"],
    ["../common.yaml", "scenarios/common.yaml"],
    ["../../models/tables/x.csv", "models/tables/x.csv"],
    ["../b/./c//d.yaml", "scenarios/b/c/d.yaml"],
    ["..\\common.yaml", "scenarios/common.yaml"],
  ])("%s is relative to the file", (given, path) => {
    expect(resolvePath(place.file, given, place)).toBe(path);
  });

  test.each([
    ...["../../../x", "../../../../etc/passwd", "/etc/passwd", "\\\\host\\x", "C:\\x", "c:/x", "a\0b"],
    ...["../../..", "../../a/../../b"],
  ])("%j never leaves the root", (given) => {
    expect(problem(() => resolvePath(place.file, given, place))).toBe("file-outside 3");
  });

  test("that leads to nothing is missing", () => {
    const files = bundleFiles(new Map([["a.csv", "x"]]));
    expect(readText(files, "a.csv", place)).toBe("x");
    expect(problem(() => readText(files, "b.csv", place))).toBe("file-missing 3");
    expect(problem(() => readText(files, "constructor", place))).toBe("file-missing 3");
  });
});

describe("a table file", () => {
  test("has a header and rows, and knows their lines", () => {
    const table = readCsv("\ufeff# source: invented\nage, value\r\n0,0.1\n\n# later\n1 , 0.2\n", "t.csv");
    expect(table).toEqual({
      header: ["age", "value"],
      rows: [
        ["0", "0.1"],
        ["1", "0.2"],
      ],
      lines: [3, 6],
    });
  });

  test.each([
    ["", "csv-shape 1"],
    ["age,value", "csv-shape 1"],
    ["age,value\n0,1,2", "csv-shape 2"],
    ["# x\nage;value\n0;1", "csv-shape 2"],
    [`age,value\n${"0,1\n".repeat(200_001)}`, "csv-shape 200001"],
  ])("is refused at its line (%#)", (text, found) => {
    expect(problem(() => readCsv(text, "t.csv"))).toBe(found);
  });

  test.each(["", "x", "1;2", "1 2", "NaN", "Infinity", "1e999", "--1"])("takes no cell %j for a number", (cell) => {
    expect(problem(() => csvNumber(cell, "t.csv", 7))).toBe("csv-shape 7");
  });
});
