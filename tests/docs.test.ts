import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { describe, expect, test } from "vitest";
import { runCommand } from "./cli/run-command.ts";

const src = join(import.meta.dirname, "../src");

interface Example {
  readonly path: string;
  readonly line: number;
  /** Statements to run; the last one is an expression. */
  readonly code: readonly string[];
  readonly expected: string;
}

function examplesIn(path: string): readonly Example[] {
  const lines = readFileSync(path, "utf8").split("\n");
  return lines.flatMap((line, i) => {
    const start = /^ \* @example\s*(.*)$/.exec(line);
    if (start === null) return [];
    const code = start[1] === "" ? [] : [start[1]!];
    for (let k = i + 1; code.length === 0 || !code.at(-1)!.includes(" // "); k++) {
      const next = /^ \* ?(.*)$/.exec(lines[k] ?? "");
      if (next === null || next[1]!.startsWith("/")) break;
      code.push(next[1]!);
    }
    const [last = "", expected = ""] = (code.pop() ?? "").split(/;?\s+\/\/ /);
    return [{ path: relative(src, path), line: i + 1, code: [...code, last], expected }];
  });
}

const files = readdirSync(src, { recursive: true })
  .map(String)
  .filter((path) => path.endsWith(".ts"));
const examples = files.flatMap((path) => examplesIn(join(src, path)));

/** Names that stand for things an example need not build. */
const stage = {
  place: { file: "a.yaml", line: 1, column: 1, path: "" },
  words: { currency: "EUR", effect: "QALY", each: "QALY" },
};

function evaluated(names: Readonly<Record<string, unknown>>, statements: readonly string[]): unknown {
  const body = [...statements.slice(0, -1), `return (${statements.at(-1)!.replace(/;$/, "")});`].join("\n");
  return new Function(...Object.keys(names), body)(...Object.values(names));
}

/** What an example says it gives: a value, or undefined where the words are no value. */
function stated(text: string): { readonly value: unknown } | undefined {
  for (const words of [text, text.replace(/\s*\(.*$/, ""), text.replace(/, .*$/, "")]) {
    try {
      return { value: evaluated({}, [words.replace(/^.*?Float64Array \[/, "[")]) };
    } catch {
      // prose after the value, or dots for what is left out
    }
  }
  return undefined;
}

describe("examples in docstrings", () => {
  test("there are some in every part that computes", () => {
    expect(examples.length).toBeGreaterThan(60);
  });

  test.each(examples.map((example) => [`${example.path}:${example.line}`, example] as const))(
    "%s",
    async (_, example) => {
      const others = await Promise.all(
        files.filter((path) => /^(numerics|schema|analysis)\//.test(path)).map((path) => import(join(src, path))),
      );
      const own = await import(join(src, example.path));
      const names = Object.assign({}, ...others, stage, own) as Record<string, unknown>;
      const found = evaluated(names, example.code);
      const expected = stated(example.expected);
      if (expected !== undefined && expected.value === undefined) {
        expect(found).toBeUndefined();
        return;
      }
      if (expected === undefined) {
        expect(found).toBeDefined();
        return;
      }
      const plain = (value: unknown): unknown =>
        JSON.parse(
          JSON.stringify(value, (_key, inner) =>
            inner instanceof Float64Array
              ? [...inner]
              : typeof inner === "number"
                ? Number(inner.toPrecision(12))
                : inner,
          ),
        );
      if (typeof expected.value === "object" && !Array.isArray(expected.value))
        expect(plain(found)).toMatchObject(plain(expected.value) as object);
      else expect(plain(found)).toEqual(plain(expected.value));
    },
  );
});

describe("README.md", () => {
  const readme = join(src, "../README.md");
  test("shows the demo's answer as it is printed", async () => {
    const { out } = await runCommand("ask", "worth", "scenarios/harbour/base.scenario.yaml");
    const shown = `<!-- worth: harbour -->\n\`\`\`\n${out.slice(out.indexOf("Is it worth it?"), out.indexOf("A model, not medical advice")).trimEnd()}\n\`\`\`\n<!-- /worth -->`;
    const text = readFileSync(readme, "utf8");
    const block = /<!-- worth: harbour -->[\s\S]*?<!-- \/worth -->/;
    if (process.env["GOLDEN"] === "write")
      writeFileSync(
        readme,
        text.replace(block, () => shown),
      );
    expect(block.exec(readFileSync(readme, "utf8"))?.[0]).toBe(shown);
  });

  test("names only commands that exist", async () => {
    const { out } = await runCommand("--help");
    for (const [, command] of readFileSync(readme, "utf8").matchAll(/npx --no steelyard (\w+)/g))
      expect(out).toContain(`  ${command} `);
  });
});
