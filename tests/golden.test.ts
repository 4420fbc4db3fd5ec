import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, expect, test } from "vitest";
import { folderFiles } from "../src/host/files.ts";
import type { ResultDocument } from "../src/report/result.ts";
import { openStudy, runBase } from "../src/study.ts";

// Every file in scenarios/ is a test: its numbers are committed in tests/golden and compared digit by digit. To accept
// numbers that moved, run with GOLDEN=write and commit as `numbers:` with before and after.

const root = join(import.meta.dirname, "..");
const files = folderFiles(root);
const scenarios = files.list().filter((path) => path.endsWith(".scenario.yaml"));
const goldenPath = (scenario: string): string =>
  join(root, "tests/golden", scenario.replace(/^scenarios\//, "").replace(/\.scenario\.yaml$/, ".json"));

/** The numbers of a result without its long series. */
function numbers(document: ResultDocument): unknown {
  const { compared, works, costs, worth } = document.answers;
  const { strategies, increments, byGroup, byPerspective, byHorizon } = worth;
  return {
    scenario: document.meta.scenario,
    headlines: { compared: compared.headline, works: works.headline, costs: costs.headline, worth: worth.headline },
    strategies,
    increments,
    byGroup: byGroup.map(({ group, strategies: inner }) => ({
      group,
      values: inner.map(({ id, cost, effect }) => [id, cost, effect]),
    })),
    byPerspective: byPerspective.map(({ perspective, strategies: inner }) => ({
      perspective,
      values: inner.map(({ id, cost, effect }) => [id, cost, effect]),
    })),
    byHorizon:
      byHorizon?.map(({ years, strategies: inner }) => ({
        years,
        values: inner.map(({ id, cost, effect }) => [id, cost, effect]),
      })) ?? null,
    lines: costs.lines.map(({ line, bearer, discounted }) => ({ line, bearer, discounted })),
    events: compared.events.map(({ id, perThousand }) => [id, perThousand]),
    resources: compared.resources.map(({ id, perThousand }) => [id, perThousand]),
    curves: works.curves.map(({ id, values }) => [
      id,
      Object.fromEntries(Object.entries(values).map(([strategy, list]) => [strategy, [list[12], list.at(-1)]])),
    ]),
  };
}

describe("the numbers of every scenario", () => {
  test.each(scenarios)("%s", (scenario) => {
    const found = `${JSON.stringify(numbers(runBase(openStudy(files, scenario))), null, 1)}\n`;
    const path = goldenPath(scenario);
    if (process.env["GOLDEN"] === "write") {
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, found);
    }
    expect(existsSync(path), `no golden file for ${scenario}; run with GOLDEN=write and look at it`).toBe(true);
    expect(found).toBe(readFileSync(path, "utf8"));
  });

  test("no golden file without a scenario", () => {
    const kept = readdirSync(join(root, "tests/golden"), { recursive: true })
      .map(String)
      .filter((path) => path.endsWith(".json"));
    const wanted = new Set(
      scenarios.map((path) => path.replace(/^scenarios\//, "").replace(/\.scenario\.yaml$/, ".json")),
    );
    expect(kept.filter((path) => !wanted.has(path))).toEqual([]);
  });
});
