import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize, relative } from "node:path";
import { describe, expect, test } from "vitest";

// The picture of DEVELOPERS.md as a table: a place may import from itself and from the places named.
const mayImport: Readonly<Record<string, readonly string[]>> = {
  messages: [],
  errors: ["messages"],
  version: [],
  numerics: ["errors"],
  schema: ["errors", "numerics"],
  evidence: ["errors", "numerics", "schema"],
  compile: ["errors", "numerics", "schema", "evidence"],
  engine: ["errors", "numerics", "schema", "evidence", "compile"],
  analysis: ["errors", "numerics", "schema", "evidence", "compile", "engine"],
  report: ["errors", "numerics", "schema", "evidence", "compile", "engine", "analysis", "version"],
  study: ["errors", "numerics", "schema", "evidence", "compile", "engine", "analysis", "report", "version"],
  host: ["errors", "schema", "study"],
  server: ["errors", "schema", "report", "study", "host", "version"],
  cli: ["errors", "schema", "report", "study", "host", "server", "version"],
};

// Each library is named in these places only; `node:` in the edges only.
const libraries: Readonly<Record<string, readonly string[]>> = {
  zod: ["schema", "compile/structure.ts"],
  yaml: ["schema"],
  "mathjs/number": ["compile"],
  seedrandom: ["numerics"],
  "ml-matrix": ["numerics"],
  "@noble/hashes/sha2.js": ["numerics"],
  "@noble/hashes/utils.js": ["numerics"],
  commander: ["cli"],
  hono: ["server"],
  "hono/streaming": ["server"],
  "@hono/node-server": ["server/listen.ts"],
  piscina: ["host"],
  vite: ["cli/vite.config.ts"],
  "node:": ["host", "cli", "server/listen.ts"],
};

const core = [
  "messages",
  "errors",
  "version",
  "numerics",
  "schema",
  "evidence",
  "compile",
  "engine",
  "analysis",
  "report",
  "study",
];

const banned: readonly (readonly [RegExp, string])[] = [
  [
    /\bMath\.(exp|expm1|log|log1p|log2|log10|pow|sin|cos|tan|asin|acos|atan|atan2|sinh|cosh|tanh|asinh|acosh|atanh|cbrt|hypot|random)\b/,
    "differs between engines or is hidden state; use src/numerics",
  ],
  [/(?<!\b2 )\*\*/, "the power operator differs between engines; use pow or a product"],
  [/\bDate\b/, "the clock is an argument"],
  [/\bconsole\b/, "the core prints nothing"],
  [/\b(setTimeout|setInterval|fetch|window|process)\b/, "the core is pure"],
  [/\beval\b|new Function\b/, "no text becomes code"],
];

interface Source {
  readonly path: string;
  readonly place: string;
  readonly text: string;
  readonly code: string;
}

const root = join(import.meta.dirname, "../src");

function sources(folder: string): readonly Source[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const full = join(folder, entry.name);
    if (entry.isDirectory()) return sources(full);
    if (!entry.name.endsWith(".ts")) return [];
    const path = relative(root, full);
    const text = readFileSync(full, "utf8");
    const code = text
      .replace(/\/\*[\s\S]*?\*\//g, "")
      .replace(/(^|\s)\/\/.*$/gm, "")
      .replace(/"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'/g, '""');
    const place = path.includes("/") ? path.split("/")[0]! : path.replace(/\.ts$/, "");
    return [{ path, place, text, code }];
  });
}

const imports = (text: string): readonly string[] =>
  [...text.matchAll(/^(?:import|export)[^"']*?from\s+"([^"]+)"|^import\s+"([^"]+)"/gm)].map(
    (match) => match[1] ?? match[2]!,
  );

const all = sources(root);

describe("the architecture", () => {
  test("is looked at as a whole: every place of src is in the table", () => {
    expect(new Set(all.map(({ place }) => place).filter((place) => !(place in mayImport)))).toEqual(new Set());
    expect(all.length).toBeGreaterThan(80);
  });

  test("imports point back along the flow only", () => {
    const wrong = all.flatMap(({ path, place, text }) =>
      imports(text)
        .filter((from) => from.startsWith("."))
        .map((from) => normalize(join(dirname(path), from)))
        .map((target) => (target.includes("/") ? target.split("/")[0]! : target.replace(/\.ts$/, "")))
        .filter((target) => target !== place && !mayImport[place]?.includes(target))
        .map((target) => `${path} imports from ${target}`),
    );
    expect(wrong).toEqual([]);
  });

  test("each library is named in its place only", () => {
    const wrong = all.flatMap(({ path, place, text }) =>
      imports(text)
        .filter((from) => !from.startsWith("."))
        .filter((from) => {
          const known = libraries[from.startsWith("node:") ? "node:" : from];
          return known === undefined || !(known.includes(place) || known.includes(path));
        })
        .map((from) => `${path} names ${from}`),
    );
    expect(wrong).toEqual([]);
  });

  test("the core is pure and computes the same everywhere", () => {
    const wrong = all
      .filter(({ place }) => core.includes(place))
      .flatMap(({ path, code }) =>
        banned.filter(([pattern]) => pattern.test(code)).map(([pattern, why]) => `${path}: ${pattern} (${why})`),
      );
    expect(wrong).toEqual([]);
  });

  test("no drawers, barrels or default exports", () => {
    const wrong = all.filter(
      ({ path, code }) =>
        /(^|\/)(utils?|helpers?|common|misc|shared|types|constants|index)(\/|\.ts$)/.test(path) ||
        (/^export default|^export \* from/m.test(code) && !path.endsWith(".config.ts")),
    );
    expect(wrong.map(({ path }) => path)).toEqual([]);
  });

  test("the top level holds what it held", () => {
    const made = [".git", "node_modules", "dist", "coverage", ".bench"];
    const kept = [".ci", ".gitignore", "CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "README.md", "biome.json", "models"];
    const others = ["package-lock.json", "package.json", "scenarios", "src", "tests", "tsconfig.json", "web"];
    const found = readdirSync(join(root, "..")).filter((name) => !made.includes(name));
    expect(found.filter((name) => !name.endsWith(".log")).sort()).toEqual([...kept, ...others].sort());
  });

  test("files stay small: median under 110 lines, nine in ten under 260", () => {
    const sizes = all
      .filter(({ path }) => !/-table\.ts$|joe-kuo/.test(path))
      .map(({ text }) => text.split("\n").length)
      .sort((a, b) => a - b);
    expect(sizes[Math.floor(sizes.length / 2)]).toBeLessThan(110);
    expect(sizes[Math.floor(sizes.length * 0.9)]).toBeLessThan(260);
  });

  test("every export has a docstring", () => {
    const wrong = all.flatMap(({ path, text }) => {
      const lines = text.split("\n");
      return lines.flatMap((line, i) => {
        if (!/^export (async )?(function|class|const|interface|type)\b/.test(line) || /= z\.infer</.test(line))
          return [];
        let above = i - 1;
        while (above >= 0 && /^\/\/ biome-ignore/.test(lines[above]!)) above -= 1;
        return /\*\/\s*$/.test(lines[above] ?? "") ? [] : [`${path}:${i + 1}`];
      });
    });
    expect(wrong).toEqual([]);
  });
});
