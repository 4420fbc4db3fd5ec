import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize, relative } from "node:path";
import { describe, expect, test } from "vitest";

const root = join(import.meta.dirname, "../..");
const web = join(root, "web");

const sources = readdirSync(web, { recursive: true })
  .map(String)
  .filter((path) => /\.tsx?$/.test(path) && path !== "vite.config.ts")
  .map((path) => ({ path, text: readFileSync(join(web, path), "utf8") }));

const imports = (text: string): readonly string[] =>
  [...text.matchAll(/^(?:import|export)[^"']*?from\s+"([^"]+)"|^import\s+"([^"]+)"/gm)].map(
    (match) => match[1] ?? match[2]!,
  );

/** Files that run in the page's worker: what the page imports of them are types, or messages. */
const isOfWorker = (path: string): boolean => /^local\/(?!local\.ts|protocol\.ts)/.test(path);

describe("the page's sources", () => {
  test("are there", () => {
    expect(sources.length).toBeGreaterThan(50);
  });

  test("see the core through report, schema and errors only, but for the worker, which holds all of it", () => {
    const wrong = sources
      .filter(({ path }) => !isOfWorker(path))
      .flatMap(({ path, text }) =>
        imports(text)
          .filter((from) => from.startsWith("."))
          .map((from) => relative(root, normalize(join(web, dirname(path), from))))
          .filter((target) => !/^(web\/|src\/(report|schema)\/|src\/errors\.ts$)/.test(target))
          .map((target) => `${path} imports ${target}`),
      );
    expect(wrong).toEqual([]);
  });

  test("of the worker see the core through study and its host's ways, and nobody else loads them", () => {
    const reached = (path: string, text: string): readonly string[] =>
      imports(text)
        .filter((from) => from.startsWith("."))
        .map((from) => relative(root, normalize(join(web, dirname(path), from))));
    const wrong = sources.flatMap(({ path, text }) =>
      reached(path, text)
        .filter((target) =>
          isOfWorker(path)
            ? !/^(web\/(api|draw-settings|local\/[\w-]+)\.ts|src\/(study|errors|host\/instantiate|schema\/[\w-]+|report\/[\w-]+)\.ts)$/.test(
                target,
              )
            : target.startsWith("web/local/") && isOfWorker(relative("web", target)),
        )
        .map((target) => `${path} imports ${target}`),
    );
    expect(wrong).toEqual([]);
  });

  test("name preact alone, and Chart.js in charts alone", () => {
    const wrong = sources.flatMap(({ path, text }) =>
      imports(text)
        .filter((from) => !from.startsWith("."))
        .filter(
          (from) =>
            !(
              /^(preact(\/hooks)?|@preact\/signals)$/.test(from) ||
              (from === "chart.js" && path.startsWith("charts/")) ||
              (from === "zod" && path === "local/no-jit.ts")
            ),
        )
        .map((from) => `${path} names ${from}`),
    );
    expect(wrong).toEqual([]);
  });

  test("format no number by themselves, set no markup as text, and take nothing from elsewhere", () => {
    const banned =
      /\.(toFixed|toPrecision|toLocaleString)\(|\bIntl\.|innerHTML|dangerouslySetInnerHTML|https?:\/\/(?!www\.w3\.org)/;
    expect(sources.filter(({ text }) => banned.test(text)).map(({ path }) => path)).toEqual([]);
  });

  test("are small files, each export with a docstring", () => {
    const long = sources.filter(({ text }) => text.split("\n").length > 220).map(({ path }) => path);
    const silent = sources.flatMap(({ path, text }) => {
      const lines = text.split("\n");
      return lines.flatMap((line, i) =>
        /^export (async )?(function|class|const|interface|type)\b/.test(line) && !/\*\/\s*$/.test(lines[i - 1] ?? "")
          ? [`${path}:${i + 1}`]
          : [],
      );
    });
    expect([...long, ...silent]).toEqual([]);
  });
});

test("the built page asks for nothing from elsewhere and puts nothing inline that its policy forbids", () => {
  const page = readFileSync(join(web, "index.html"), "utf8");
  expect(page).not.toMatch(/ style=|<style|<script(?![^>]*\bsrc=)| on\w+=|https?:/);
});
