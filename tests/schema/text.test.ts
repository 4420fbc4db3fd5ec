import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/errors.ts";
import { nodeAt, placeAt, plainValue } from "../../src/schema/located.ts";
import { parseText } from "../../src/schema/text.ts";

const plain = (text: string) => plainValue(parseText(text, "x.yaml"));
const problems = (text: string): readonly string[] => {
  try {
    parseText(text, "x.yaml");
    return [];
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.findings.map(({ code, line, column }) => `${code} ${line}:${column}`);
  }
};

describe("values of a file", () => {
  test.each<readonly [text: string, value: unknown]>([
    ["a: 1", { a: 1 }],
    ["a: 1.5e3", { a: 1500 }],
    ["a: -0.5", { a: -0.5 }],
    ["a: 007", { a: 7 }],
    ["a: 20 years", { a: "20 years" }],
    ["a: 1/3", { a: "1/3" }],
    ["a: 3%", { a: "3%" }],
    ["a: true", { a: true }],
    // words that older YAML took for true and false are words
    ["a: [yes, no, on, off, y, n]", { a: ["yes", "no", "on", "off", "y", "n"] }],
    ["no: { yes: 1 }", { no: { yes: 1 } }],
    ["a:", { a: null }],
    ["a: ~", { a: null }],
    ["a: '1'", { a: "1" }],
    ["1: a", { "1": "a" }],
    ["95%: 1", { "95%": 1 }],
    ["a: 2024-01-01", { a: "2024-01-01" }],
    ["a: 12:30", { a: "12:30" }],
    ["a: >-\n  one\n  two\nb: 1", { a: "one two", b: 1 }],
    ["a: |\n  one\n  two\n", { a: "one\ntwo\n" }],
    ["# note\na: 1 # note\n\n# end\n", { a: 1 }],
    ["a: x#y", { a: "x#y" }],
    ["\ufeffa: 1", { a: 1 }],
    ["a: 1\r\nb: 2\r\n", { a: 1, b: 2 }],
    ["a:\n- 1\n- 2", { a: [1, 2] }],
    ['a: "b: c, [d] { e"', { a: "b: c, [d] { e" }],
    ["a: it's fine", { a: "it's fine" }],
    ["a: b ? c : d", undefined],
  ])("%j", (text, value) => {
    if (value === undefined) expect(problems(text)).toEqual(["unquoted-colon 1:4"]);
    else expect(plain(text)).toEqual(value);
  });

  test("keep the order of the file", () => {
    expect(Object.keys(plain("z: 1\na: 2\nm: 3") as object)).toEqual(["z", "a", "m"]);
  });
});

describe("places", () => {
  const text = [
    "model: x",
    "events:",
    "  dying:",
    "    rate: death_rate",
    '    uses: { device: "max(a, b)", 12: [1, 2,',
    "      3] }",
    "list:",
    "  - one",
    "  - { two: 2 }",
  ].join("\n");
  const root = parseText(text, "m.yaml");

  test.each<readonly [path: readonly (string | number)[], key: boolean, line: number, column: number]>([
    [["model"], false, 1, 8],
    [["model"], true, 1, 1],
    [["events"], true, 2, 1],
    [["events"], false, 3, 3],
    [["events", "dying"], true, 3, 3],
    [["events", "dying", "rate"], false, 4, 11],
    [["events", "dying", "uses", "device"], true, 5, 13],
    [["events", "dying", "uses", "device"], false, 5, 21],
    [["events", "dying", "uses", "12", 2], false, 6, 7],
    [["list", 0], false, 8, 5],
    [["list", 1, "two"], true, 9, 7],
    [["list", 1, "two"], false, 9, 12],
  ])("of %j (key: %s) are exact", (path, key, line, column) => {
    expect(placeAt(root, path, key)).toMatchObject({ file: "m.yaml", line, column });
  });

  test("of what is not there are those of its nearest parent", () => {
    expect(placeAt(root, ["events", "dying", "then"])).toEqual({
      file: "m.yaml",
      line: 4,
      column: 5,
      path: "events.dying.then",
    });
    expect(placeAt(root, ["list", 7, "x"])).toMatchObject({ line: 8, column: 3, path: "list[7].x" });
    expect(nodeAt(root, ["events", "none", "x"])).toBeUndefined();
  });

  test("of quoted text begin behind the quote, so that words in it are found", () => {
    expect(nodeAt(root, ["events", "dying", "uses", "device"])).toMatchObject({ column: 21, textColumn: 22 });
    expect(nodeAt(root, ["events", "dying", "rate"])).toMatchObject({ column: 11, textColumn: 11 });
  });

  test("count lines the same whatever ends them", () => {
    const windows = parseText(text.replaceAll("\n", "\r\n"), "m.yaml");
    expect(placeAt(windows, ["list", 1, "two"])).toMatchObject({ line: 9, column: 12 });
  });
});

describe("mistakes", () => {
  test.each<readonly [text: string, found: readonly string[]]>([
    ["", ["yaml-syntax 1:1"]],
    ["a: 1\na: 2\nb: 3\nb: 4", ["duplicate-key 2:1", "duplicate-key 4:1"]],
    ["a: { b: 1, c: 2, b: 3 }", ["duplicate-key 1:18"]],
    ["a: 1\n'a': 2", ["duplicate-key 2:1"]],
    ["a: &x 1", ["yaml-alias 1:7"]],
    ["a: *x", ["yaml-alias 1:4"]],
    ["a: !!str 1", []],
    ["a: !mine 1", ["yaml-alias 1:4"]],
    ["a: 1\n---\nb: 2", ["yaml-documents 2:1"]],
    ["a: 1\n...\nb: 2", ["yaml-documents 3:1"]],
    ["a: [1, 2", ["yaml-syntax 1:4"]],
    ["a: { b: [1, 2 }", ["yaml-syntax 1:9"]],
    ["a: {\nb: 1", ["yaml-syntax 1:4"]],
    ['a: "x', ["yaml-syntax 1:4"]],
    ["a: 'it's'", ["yaml-syntax 1:8"]],
    ["a:1", []],
    ["a:1\nb: 2", ["yaml-syntax 1:1"]],
    ["\ta: 1", ["yaml-syntax 1:1"]],
    ["a: 1\n b: 2", ["yaml-syntax 1:4"]],
    ["a: .nan", ["yaml-syntax 1:4"]],
    ["? [a]\n: 1", ["yaml-syntax 1:3"]],
    ["a: { f: max(b, c) }", ["unquoted-comma 1:9"]],
    ["a: [max(b, c), 2]", ["unquoted-comma 1:5"]],
    ["a: { f: b[c] }", ["unquoted-comma 1:10"]],
    ["a: { f: b ? c : d }", ["unquoted-colon 1:9"]],
    ["a: max(b, c)", []],
    ["a: b[c]", []],
    ["__proto__: 1", ["invalid-name 1:1"]],
  ])("in %j are found at their place, once", (text, found) => {
    expect(problems(text)).toEqual(found);
  });

  test("never take more than a hundred lines of the reader", () => {
    expect(problems("a: 1\n".repeat(500))).toHaveLength(100);
  });
});

test("whatever the text, the answer is a value or a list of places in it", () => {
  const piece = fc.constantFrom(
    "a",
    "b: ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    "\n",
    "  ",
    '"',
    "'",
    "#",
    "&",
    "*",
    "|",
    ">",
    "1",
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 40 }), (pieces) => {
      const text = pieces.join("");
      try {
        parseText(text, "x.yaml");
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        const lines = text.split("\n");
        expect(error.findings.length).toBeGreaterThan(0);
        for (const { line, column } of error.findings) {
          expect(line).toBeGreaterThanOrEqual(1);
          expect(line).toBeLessThanOrEqual(lines.length);
          expect(column).toBeGreaterThanOrEqual(1);
          expect(column).toBeLessThanOrEqual(lines[line - 1]!.length + 1);
        }
      }
    }),
    { numRuns: 2000, seed: 7 },
  );
});
