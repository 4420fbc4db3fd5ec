import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { mixGroups } from "../src/analysis/mix.ts";
import { accountTotal, entryTotal, lifeYears } from "../src/analysis/totals.ts";
import type { Traced } from "../src/engine/traced.ts";
import { folderFiles } from "../src/host/files.ts";
import { baseRow, openStudy, runReference } from "../src/study.ts";

// The demo's base case against the same model written by hand in NumPy, tests/fixtures/crosscheck/balloon-pathways.py.
// The two share base values and tables, so they are recorded with the figures; when the scenario moves, both are made
// again by the commands below.

const root = join(import.meta.dirname, "..");
const folder = join(root, "tests/fixtures/crosscheck");
const again =
  "the fixture holds other inputs; run CROSSCHECK=write npx vitest run --config tests/vitest.config.ts tests/crosscheck, " +
  "then python3 tests/fixtures/crosscheck/balloon-pathways.py";
const writing = process.env["CROSSCHECK"] === "write";

/** Figures of one strategy in one group, or of all groups. */
interface Figures {
  readonly cost_payer: number;
  readonly cost_society: number;
  readonly lines: Readonly<Record<string, number>>;
  readonly qaly: number;
  readonly life_years_discounted: number;
  readonly life_years: number;
  readonly counts: Readonly<Record<string, number>>;
  readonly alive: Readonly<Record<string, number>>;
  readonly bmi: Readonly<Record<string, number>>;
}

/** `[strategy][group]`, the group `all` for everybody. */
type Round = Readonly<Record<string, Readonly<Record<string, Figures>>>>;

interface Fixture {
  readonly inputs: unknown;
  readonly tables: Readonly<Record<string, string>>;
  readonly figures: Round;
  readonly rounds: readonly Round[];
}

const fixture = JSON.parse(readFileSync(join(folder, "results.json"), "utf8")) as Fixture;
const study = openStudy(folderFiles(root), "scenarios/harbour/all-five.scenario.yaml");
const { program } = study;
const row = baseRow(program);
// what the base case leaves out: the other variants and choices, the standard medicines, a birthday within a year
const changes: readonly Readonly<Record<string, number>>[] = [
  {
    start_age: 42.98,
    regimen: 0,
    extra_kept: 1,
    other_care: 1,
    health: 1,
    legacy: 1,
    switch_to: 1,
    learning_excess: 1,
  },
  {
    extra_kept: 2,
    other_care: 2,
    legacy: 2,
    deaths_by: 1,
    loss_of: 1,
    age_norm: 1,
    bmi_utility: 1,
    "early_reason[swallowed][perforation]": 0.05,
    "early_reason[swallowed][other]": 0.307142857,
  },
  { extra_kept: 3, other_care: 3, loss_means: 1, bmi_utility: 2, rebate: 0, repeat_effect: 1 },
];
const changed = (values: Readonly<Record<string, number>>): Float64Array =>
  row.map((value, p) => values[program.components[p]!.key] ?? value);
const compared = program.analysis.compare.map((s) => program.strategies[s]!.id);

/** What the script reads. */
function inputs(): unknown {
  const { costs, effects } = program.analysis.discount;
  return {
    months: program.grid.cycles,
    discount: { costs: costs[0]!.rate, effects: effects[0]!.rate },
    groups: program.groups.map(({ id, share, attributes: [sex, bmi] }) => ({
      id,
      share,
      sex: ["male", "female"][sex!],
      start_bmi: bmi,
    })),
    values: Object.fromEntries(program.components.map(({ key }, p) => [key, row[p]!])),
    kept_by_follow_up: points("kept_by_follow_up"),
    rounds: changes,
  };
}

/** The rows of a table without levels. */
function points(name: string): readonly (readonly [number, number])[] {
  const { x, y } = program.tables.find((table) => table.name === name)!;
  return Array.from(x, (at, k) => [at, y[0]![k]!] as const);
}

function mapped(names: Readonly<Record<string, number>>, value: (name: string) => number): Record<string, number> {
  return Object.fromEntries(Object.keys(names).map((name) => [name, value(name)]));
}

/** Our figures under the names of the fixture. */
function figuresOf(one: Traced, wanted: Figures): Figures {
  const account = (name: string): number => program.accounts.find((each) => each.name === name)!.index;
  const cost = account("cost");
  const { cycles } = program.grid;
  const width = study.expansion.states.length + 1;
  const curve = program.curves.findIndex(({ name }) => name === "bmi");
  return {
    cost_payer: accountTotal(program, one, cost, "payer"),
    cost_society: accountTotal(program, one, cost, "society"),
    lines: mapped(wanted.lines, (line) =>
      program.entries.reduce(
        (sum, entry, e) => sum + (entry.account === cost && entry.line === line ? entryTotal(program, one, e) : 0),
        0,
      ),
    ),
    qaly: accountTotal(program, one, account("qaly")),
    life_years_discounted: accountTotal(program, one, account("life_years")),
    life_years: lifeYears(program, one),
    counts: mapped(wanted.counts, (name) => accountTotal(program, one, account(name))),
    alive: mapped(wanted.alive, (month) => 1 - one.membership[Number(month) * width + width - 1]!),
    bmi: mapped(wanted.bmi, (month) => one.curves[curve * (cycles + 1) + Number(month)]!),
  };
}

/** Figures by their names as a flat list. */
function flat(figures: Figures): readonly (readonly [string, number])[] {
  return Object.entries(figures).flatMap(([name, value]) =>
    typeof value === "number"
      ? [[name, value] as const]
      : Object.entries(value as Record<string, number>).map(([key, inner]) => [`${name}.${key}`, inner] as const),
  );
}

if (writing) {
  test("the inputs of the script are written", () => {
    writeFileSync(join(folder, "inputs.json"), `${JSON.stringify(inputs(), null, 1)}\n`);
  });
} else {
  describe("the demo by hand in NumPy", () => {
    test("was made from the base values and tables of today", () => {
      expect(fixture.inputs, again).toEqual(inputs());
      for (const [name, hash] of Object.entries(fixture.tables)) {
        const text = readFileSync(join(root, "models/tables", name));
        expect(createHash("sha256").update(text).digest("hex"), `${name}: ${again}`).toBe(hash);
      }
    });

    test("holds every strategy, group, cost line and count", () => {
      expect(Object.keys(fixture.figures)).toEqual(compared);
      const lines = [...new Set(program.entries.filter(({ account }) => account === 0).map(({ line }) => line))];
      const counts = program.accounts.filter(({ discount }) => discount === "none").map(({ name }) => name);
      for (const groups of Object.values(fixture.figures)) {
        expect(Object.keys(groups)).toEqual(["all", ...program.groups.map(({ id }) => id)]);
        for (const figures of Object.values(groups)) {
          expect(lines).toEqual(expect.arrayContaining(Object.keys(figures.lines)));
          expect(Object.keys(figures.counts).sort()).toEqual([...counts].sort());
        }
      }
      const used = new Set(Object.values(fixture.figures).flatMap(({ all }) => Object.keys(all!.lines)));
      expect([...used].sort()).toEqual([...lines].sort());
    });

    const rounds = [
      ["base values", fixture.figures, row] as const,
      ...changes.map((values, k) => [`changed values ${k + 1}`, fixture.rounds[k]!, changed(values)] as const),
    ];
    test.each(rounds)("%s agree to 1e-9 in every figure", (_, round, values) => {
      const traced = runReference(study, values);
      const apart: string[] = [];
      let figures = 0;
      for (const [s, id] of compared.entries()) {
        for (const [group, wanted] of Object.entries(round[id]!)) {
          const list = traced[s]!;
          const one =
            group === "all" ? mixGroups(program, list) : list[program.groups.findIndex((each) => each.id === group)]!;
          const found = new Map(flat(figuresOf(one, wanted)));
          for (const [name, theirs] of flat(wanted)) {
            const ours = found.get(name)!;
            figures++;
            if (!(Math.abs(ours - theirs) <= 1e-9 * Math.abs(theirs)))
              apart.push(`${id}, ${group}, ${name}: ours ${ours}, theirs ${theirs}`);
          }
        }
      }
      expect(apart).toEqual([]);
      expect(figures).toBeGreaterThan(80);
    });
  });
}
