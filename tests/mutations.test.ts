import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { InputError } from "../src/errors.ts";
import { says } from "../src/messages.ts";
import { bundleFiles } from "../src/schema/files.ts";
import { baseRow, openStudy, runReference } from "../src/study.ts";
import { caseFiles, scenarioPath } from "./case.ts";
import { withoutVariants } from "./without-variants.ts";

// Whatever stands in a file, the answer is a study or a list of located mistakes, and soon.

const root = fileURLToPath(new URL("..", import.meta.url));
const secondsAllowed = 2;

/** Seconds of work since; the clock on the wall would count the work of others too. */
function secondsSince(started: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(started);
  return (user + system) / 1e6;
}

/** Numbers from 0 to below 1, the same for the same seed: a linear congruential step with a mixed output. */
function numbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    let mixed = state ^ (state >>> 15);
    mixed = Math.imul(mixed, 0x2c1b3c6d);
    mixed ^= mixed >>> 12;
    return (mixed >>> 0) / 2 ** 32;
  };
}

function filesBelow(folder: string): readonly string[] {
  return readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.(yaml|csv)$/.test(entry.name))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .sort();
}

const valid: ReadonlyMap<string, string> = new Map(
  ["models", "scenarios"].flatMap(filesBelow).map((path) => [path, readFileSync(join(root, path), "utf8")]),
);
const scenarios = withoutVariants([...valid.keys()].filter((path) => path.endsWith(".scenario.yaml")));
const models = new Map(
  [...valid.keys()].map((path) => [
    path
      .split("/")
      .at(-1)!
      .replace(/\.model\.yaml$/, ""),
    path,
  ]),
);

/** The files that a scenario is made of: itself, its base, its model and its tables. */
function filesOf(scenario: string): readonly string[] {
  const text = valid.get(scenario)!;
  const base = /^extends: \.\/(.*)$/m.exec(text)?.[1];
  const model = models.get(/^model: (.*)$/m.exec(text)?.[1] ?? "");
  const tables = [...text.matchAll(/file: ([\w-]+\.csv)/g)].map(([, name]) => `models/tables/${name}`);
  const beside = base === undefined ? [] : [scenario.replace(/[^/]*$/, base)];
  return [scenario, ...beside, ...(model === undefined ? [] : [model]), ...tables].filter((path) => valid.has(path));
}

const extremes = [
  ...["0", "-1", "1e308", "-1e308", "1e-320", "9007199254740993", "1e400", "0x10", ".5", "1.", "NaN", ".inf", "5000"],
  ...[
    "true",
    "null",
    "''",
    "[]",
    "{}",
    "~",
    "100%",
    "1/0",
    "1/3",
    "3 / year",
    "7 kg/m2",
    "1 EUR",
    "1 day",
    "1e9 years",
  ],
];
const inserts = [
  ...["[", "]", "{", "}", ":", ": ", ",", "- ", "? ", "#", " #", "&a ", "*a", "!x ", "|", ">", "'", '"', "%", "@", "`"],
  ..."\t,\n,\r,\0,\u2028,\u00e9,\ud800,\n---\n,\n...\n,<<: *a\n,__proto__,constructor: 1, ? a : b,(,),^^".split(","),
];

/** One change of a text, and what it was. */
function mutated(text: string, next: () => number): readonly [kind: string, text: string] {
  const below = (n: number): number => Math.floor(next() * n);
  const pick = <T>(list: readonly T[]): T => list[below(list.length)]!;
  const lines = text.split("\n");
  const line = below(lines.length);
  const spot = below(text.length + 1);
  const kinds: Readonly<Record<string, () => string>> = {
    "line deleted": () => lines.toSpliced(line, 1).join("\n"),
    "line repeated": () => lines.toSpliced(line, 0, lines[line]!).join("\n"),
    "lines exchanged": () => {
      const other = below(lines.length);
      return lines.with(line, lines[other]!).with(other, lines[line]!).join("\n");
    },
    "line indented": () => lines.with(line, `${pick(["  ", " ", "\t"])}${lines[line]}`).join("\n"),
    "line moved left": () => lines.with(line, lines[line]!.trimStart()).join("\n"),
    "character changed": () => text.slice(0, spot) + String.fromCharCode(32 + below(95)) + text.slice(spot + 1),
    "character deleted": () => text.slice(0, spot) + text.slice(spot + 1),
    "sign inserted": () => text.slice(0, spot) + pick(inserts) + text.slice(spot),
    "number replaced": () => {
      const found = [...text.matchAll(/(?<![\w.])\d+(?:\.\d+)?/g)];
      if (found.length === 0) return text;
      const [number] = pick(found);
      const at = pick(found).index;
      return text.slice(0, at) + pick(extremes) + text.slice(at + number.length);
    },
    "keys exchanged": () => {
      const found = [...text.matchAll(/[A-Za-z_]\w*(?=:)/g)];
      if (found.length === 0) return text;
      const [a, b] = [pick(found), pick(found)].sort((x, y) => x.index - y.index) as [RegExpExecArray, RegExpExecArray];
      if (a.index === b.index) return text;
      const between = text.slice(a.index + a[0].length, b.index);
      return text.slice(0, a.index) + b[0] + between + a[0] + text.slice(b.index + b[0].length);
    },
    "word replaced by another": () => {
      const found = [...text.matchAll(/[A-Za-z_]\w*/g)];
      const [a, b] = [pick(found), pick(found)];
      return text.slice(0, a.index) + b[0] + text.slice(a.index + a[0].length);
    },
    truncated: () => text.slice(0, spot),
    "part repeated": () => text.slice(0, spot) + text.slice(Math.max(0, spot - below(200))),
  };
  const kind = pick(Object.keys(kinds));
  return [kind, kinds[kind]!()];
}

/** Opens (and, where that is little work, runs) a case; returns what went against the promise. */
function broken(texts: ReadonlyMap<string, string>, path: string): string | undefined {
  const started = process.cpuUsage();
  let complaint: string | undefined;
  try {
    const study = openStudy(bundleFiles(texts), path);
    const { grid, groups, analysis } = study.program;
    const work = grid.cycles * study.expansion.states.length * groups.length * analysis.compare.length;
    if (work <= 2000) runReference(study, baseRow(study.program));
  } catch (error) {
    if (!(error instanceof InputError)) complaint = error instanceof Error ? error.stack : String(error);
    else complaint = misplaced(error, texts);
  }
  const seconds = secondsSince(started);
  return complaint ?? (seconds > secondsAllowed ? `it took ${seconds} s` : undefined);
}

function misplaced(error: InputError, texts: ReadonlyMap<string, string>): string | undefined {
  if (error.findings.length === 0) return "an input error without a finding";
  const lines = new Map([...texts].map(([path, text]) => [path, text.split("\n").length]));
  for (const found of error.findings) {
    const { file, line, column, code, message, hint } = found;
    const inside = Number.isInteger(line) && Number.isInteger(column) && line >= 1 && column >= 1;
    const known = texts.has(file) || code === "file-missing";
    if (!inside || !known || line > (lines.get(file) ?? 1)) return `not in the file: ${JSON.stringify(found)}`;
    if (says[code] === undefined || message === "" || hint === "") return `nothing said: ${JSON.stringify(found)}`;
    if (/undefined|\[object|function ?\(/.test(`${message} ${hint}`) && !/undefined|object/.test(texts.get(file) ?? ""))
      return `a slip of ours in the words: ${JSON.stringify(found)}`;
  }
  return undefined;
}

describe("a valid file with one change", () => {
  const portions = 20;
  const inPortion = 100;
  test.each(Array.from({ length: portions }, (_, i) => i))(
    "is a study or a list of located mistakes, in little time (portion %i)",
    (portion) => {
      const failures: string[] = [];
      for (let i = 0; i < inPortion; i++) {
        const seed = portion * inPortion + i;
        const next = numbers(seed);
        const scenario = scenarios[Math.floor(next() * scenarios.length)]!;
        const files = filesOf(scenario);
        const file = files[Math.floor(next() * files.length)]!;
        const [kind, text] = mutated(valid.get(file)!, next);
        const complaint = broken(new Map([...valid, [file, text]]), scenario);
        if (complaint !== undefined) failures.push(`seed ${seed}, ${file}, ${kind}: ${complaint}`);
      }
      expect(failures).toEqual([]);
    },
  );

  test("several changes at once are no different", () => {
    const failures: string[] = [];
    for (let seed = 0; seed < 200; seed++) {
      const next = numbers(1_000_000 + seed);
      const scenario = scenarios[Math.floor(next() * scenarios.length)]!;
      const texts = new Map(valid);
      for (let k = 0; k < 8; k++) {
        const files = filesOf(scenario);
        const file = files[Math.floor(next() * files.length)]!;
        texts.set(file, mutated(texts.get(file)!, next)[1]);
      }
      const complaint = broken(texts, scenario);
      if (complaint !== undefined) failures.push(`seed ${seed}, ${scenario}: ${complaint}`);
    }
    expect(failures).toEqual([]);
  });
});

describe("a file made to exhaust its reader", () => {
  const indented = (length: number, key: string): string => {
    let text = "";
    for (let depth = 0; text.length < length; depth++) text += `${" ".repeat(depth)}${key}\n`;
    return text;
  };
  const repeated = (length: number, part: string): string => part.repeat(Math.ceil(length / part.length));
  const doubling = (n: number, of: string): string =>
    Array.from({ length: n }, (_, i) => `  f${i + 1}: f${i} ${of} f${i}`).join("\n");
  const nested = (n: number): string => `${"(".repeat(n)}1${")".repeat(n)}`;

  const texts: readonly (readonly [what: string, text: string])[] = [
    ...["[", "{", "- ", "? ", ": ", "a: {", "{a: ", "- [", "[[]", "- a: ", "a: ", "]", "}", ","].map(
      (part) => [`100 kB of ${part}`, repeated(100_000, part)] as const,
    ),
    ...["[", "{", "- ", "? ", "a: {", '"', "'", "!!", "&a ", "*a ", "\"'", '["]",'].map(
      (part) => [`290 kB of ${part}`, repeated(290_000, part)] as const,
    ),
    ["brackets behind a quote that is none", `a: x "\nb: ${repeated(280_000, "[")}`],
    ["brackets behind a comment that is none", `a: x#\nb: ${repeated(280_000, "[")}`],
    ["brackets with quoted ends", `a: ${repeated(280_000, '["]", ')}`],
    ["dashes below an open bracket", `a: b [\nc:\n  ${repeated(280_000, "- ")}`],
    ["keys ever deeper", indented(280_000, "a:")],
    ["dashes ever deeper", indented(280_000, "-")],
    [
      "an alias bomb",
      `a0: &a0 [x, x]\n${Array.from({ length: 40 }, (_, i) => `a${i + 1}: &a${i + 1} [*a${i}, *a${i}]`).join("\n")}`,
    ],
    ["merge keys", `a: &a { b: 1 }\n${repeated(100_000, "c: { <<: *a }\n")}`],
    ["a long key", `${"k".repeat(290_000)}: 1`],
    ["a long word", `scenario: ${"k".repeat(290_000)}`],
    ["a long quoted word", `scenario: "${repeated(290_000, "\\n")}"`],
    ["a long number", `scenario: ${"9".repeat(290_000)}`],
    ["many keys", Array.from({ length: 25_000 }, (_, i) => `k${i}: 1`).join("\n")],
    [
      "many unknown inputs",
      `scenario: x\nmodel: test\nsettings: { horizon: 1 year }\ninputs:\n${Array.from({ length: 9_000 }, (_, i) => `  k${i}: { fixed: 1 }`).join("\n")}`,
    ],
    ["many equal keys", repeated(290_000, "a: 1\n")],
    ["200,000 equal keys", repeated(1_000_000, "a: 1\n")],
    ["900 kB of text", `about: ${"x ".repeat(450_000)}`],
    ["900 kB of list", `a: [${repeated(900_000, "1,")}1]`],
    ["many documents", repeated(290_000, "---\n")],
    ["many comments", repeated(290_000, "#\n")],
    ["many empty lines", "\n".repeat(290_000)],
    ["many tabs", "\t".repeat(290_000)],
    ["many directives", repeated(290_000, "%a\n")],
    ["keys of every object", "scenario: { __proto__: { a: 1 }, constructor: 1, toString: 2, hasOwnProperty: 3 }"],
  ];

  test.each(texts)("%s is refused soon, as a scenario and as a model", (_, text) => {
    const files = caseFiles("");
    const plain = new Map(files.list().map((path) => [path, files.read(path)!]));
    for (const path of files.list()) {
      const all = new Map(plain).set(path, text);
      const started = process.cpuUsage();
      let refused: unknown;
      try {
        openStudy(bundleFiles(all), scenarioPath);
      } catch (error) {
        refused = error;
      }
      const seconds = secondsSince(started);
      expect(refused).toBeInstanceOf(InputError);
      expect(misplaced(refused as InputError, all)).toBeUndefined();
      expect(seconds).toBeLessThan(secondsAllowed);
    }
  });

  const expressions: readonly (readonly [what: string, model: string])[] = [
    ["formulas that double", `formulas:\n  f0: 1\n${doubling(60, "+")}\nevents: { visit: { rate: f60 / year } }`],
    [
      "formulas that double at an instant",
      `formulas:\n  f0: 0 years\n${doubling(60, "+")}\nevents: { visit: { at: f60 } }`,
    ],
    [
      "formulas that double in a start",
      `formulas:\n  f0: 0\n${doubling(60, "*")}\nfactors: { a: [b, c] }\nstart: { a: { b: f60, c: rest } }`,
    ],
    ["formulas in a row, the first first", `formulas:\n  f0: 1\n${doubling(5000, "+")}`],
    [
      "formulas in a row, the last first",
      `formulas:\n${doubling(5000, "+").split("\n").reverse().join("\n")}\n  f0: 1`,
    ],
    ["formulas in a circle", `formulas:\n${doubling(5000, "+")}\n  f0: f5000`],
    ["a formula without alternatives", "formulas: { f: { alternatives: {} } }"],
    ["a tower of powers", `formulas: { f: ${"9^".repeat(900)}9 }`],
    ["brackets in a formula", `formulas: { f: "${nested(900)}" }`],
    ["signs in a formula", `formulas: { f: "${"-".repeat(1900)}1" }\nevents: { visit: { rate: f / year } }`],
    ["not not not", `formulas: { f: "${"not ".repeat(480)}1" }`],
    ["conditionals in a formula", `formulas: { f: "${"1 ? ".repeat(300)}1${" : 1".repeat(300)}" }`],
    ["commas in a formula", `formulas: { f: "max(${"1,".repeat(900)}1)" }`],
    ["a long formula", `formulas: { f: "1${" + 1".repeat(90_000)}" }`],
    ["dots in a formula", `formulas: { f: "a${".b".repeat(900)}" }`],
    [
      "factors by the dozen",
      `factors:\n${Array.from({ length: 30 }, (_, i) => `  f${i}: [a, b]`).join("\n")}\nstart:\n${Array.from({ length: 30 }, (_, i) => `  f${i}: { a: 0.5, b: 0.5 }`).join("\n")}`,
    ],
    [
      "a factor of many levels",
      `factors: { f: [${Array.from({ length: 5000 }, (_, i) => `l${i}`).join(", ")}] }\nstart: { f: l0 }`,
    ],
    [
      "clocks by the dozen",
      `factors:\n${Array.from({ length: 12 }, (_, i) => `  f${i}: [{ a: { clock: 600 cycles } }]`).join("\n")}\nstart: { ${Array.from({ length: 12 }, (_, i) => `f${i}: a`).join(", ")} }`,
    ],
    [
      "branches of branches",
      `events: { e: { at: 0, one_of: ${"{ a: { chance: 0.5, one_of: ".repeat(25)}{ a: { chance: 0.5 } }${" } }".repeat(25)} } }`,
    ],
    ["many events", `events:\n${Array.from({ length: 5000 }, (_, i) => `  e${i}: { chance: 0.1 }`).join("\n")}`],
  ];
  test.each(expressions)("%s are answered soon", (_, model) => {
    const files = caseFiles(model);
    const all = new Map(files.list().map((path) => [path, files.read(path)!]));
    expect(broken(all, scenarioPath)).toBeUndefined();
  });
});
