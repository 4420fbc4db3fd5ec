import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { runCommand } from "./run-command.ts";

const hiv = "scenarios/published/hiv-mono-vs-combo.scenario.yaml";

describe("the command line", () => {
  test("answers a question with a sentence and tables", async () => {
    const { code, out, err } = await runCommand("ask", "worth", hiv);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toContain("Is it worth it?");
    expect(out.replace(/\s+/g, " ")).toContain("6,280 for each life year gained");
  });

  test("with --json, writes one JSON document on standard output and nothing else", async () => {
    const { code, out, err } = await runCommand("ask", "costs", hiv, "--json");
    expect({ code, err }).toEqual({ code: 0, err: "" });
    const document = JSON.parse(out);
    expect(Object.keys(document.answers)).toEqual(["costs"]);
    expect(document.meta).toMatchObject({ scenario: "hiv-mono-vs-combo", draws: 0, seed: null, generated: null });
  });

  test("stamps the time only when asked", async () => {
    const { out } = await runCommand("run", hiv, "--json", "--stamp");
    expect(JSON.parse(out).meta.generated).toBe("2025-01-01T00:00:00.000Z");
  });

  test("traces who is where when asked: the printed first cycles of the published example", async () => {
    const { out } = await runCommand("run", hiv, "--json", "--trace");
    const { states, membership } = JSON.parse(out).trace.mono;
    expect(states).toEqual(["A", "B", "C", "D"]);
    expect(membership).toHaveLength(21);
    // Chancellor et al. 1997, recomputed from the published counts (from memory)
    const published = [0.3755127173328846, 0.25783190517026566, 0.2772959227091313, 0.08935945478771827];
    for (const [i, value] of published.entries()) expect(membership[3][i]).toBeCloseTo(value, 12);
  });

  test("checks several files at once and prints the structure when asked", async () => {
    const { code, out } = await runCommand(
      "check",
      hiv,
      "scenarios/published/sonnenberg-beck-fundamental-matrix.scenario.yaml",
      "--structure",
    );
    expect(code).toBe(0);
    expect(out).toContain("2 strategies, 1 group, 18 input values, 3 joint states, 20 cycles");
    expect(out).toContain("progression: chance [stage A]");
  });

  test("takes a scenario by its file or its id", async () => {
    const byFile = await runCommand("ask", "worth", "scenarios/published/hiv-mono-vs-combo.scenario.yaml", "--json");
    expect(await runCommand("ask", "worth", "hiv-mono-vs-combo", "--json")).toEqual(byFile);
    expect(byFile.code).toBe(0);
    const { code, out, err } = await runCommand("run", "hiv-mono-vs-como");
    expect({ code, out }).toEqual({ code: 1, out: "" });
    expect(err).toBe("hiv-mono-vs-como:1:1: unknown scenario hiv-mono-vs-como; did you mean hiv-mono-vs-combo\n");
    expect((await runCommand("run", "none/such")).err).toContain("missing file none/such");
  });

  test("lists the scenarios of a case", async () => {
    const { out } = await runCommand("list", "--json");
    expect(JSON.parse(out).scenarios.map((one: { scenario: string }) => one.scenario)).toContain("hiv-mono-vs-combo");
  });

  test("prints the schemas that editors use", async () => {
    for (const kind of ["model", "scenario"]) {
      const { out } = await runCommand("schema", kind);
      expect(JSON.parse(out)).toMatchObject({
        $schema: expect.stringContaining("2020-12"),
        type: "object",
        additionalProperties: false,
      });
    }
  });

  test.each([
    [["ask", "everything", hiv], 2],
    [["run"], 2],
    [["run", hiv, "--no-such-option"], 2],
    [["fly"], 2],
    [["--help"], 0],
    [["--version"], 0],
    [["run", "no-such-file.yaml"], 1],
    [["list", "--root", "no-such-folder"], 1],
  ])("%j ends with code %i", async (argv, code) => {
    const run = await runCommand(...argv);
    expect(run.code).toBe(code);
    if (code !== 0) expect({ out: run.out, hasWords: run.err.length > 0 }).toEqual({ out: "", hasWords: true });
  });

  test("mistakes go to standard error, as a JSON array with --json", async () => {
    const root = mkdtempSync(join(tmpdir(), "steelyard-"));
    mkdirSync(join(root, "models"));
    writeFileSync(join(root, "a.scenario.yaml"), "scenario: a\nmodel: none\nsettings: { horizon: 1 yaer }\n");
    const { code, out, err } = await runCommand("run", join(root, "a.scenario.yaml"), "--json");
    expect({ code, out }).toEqual({ code: 1, out: "" });
    expect(JSON.parse(err)).toEqual([
      {
        code: "unknown-reference",
        file: expect.stringMatching(/a\.scenario\.yaml$/),
        line: 2,
        column: 8,
        path: "model",
        message: "unknown model none",
        hint: "declare the model first",
      },
    ]);
  });
});
