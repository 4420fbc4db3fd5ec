import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { evaluateRows, type Prepared, prepareRows, rowBlocks } from "../../src/engine/rows.ts";
import { sampleRows } from "../../src/engine/sample.ts";
import { InputError } from "../../src/errors.ts";
import { folderFiles } from "../../src/host/files.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { bundleFiles } from "../../src/schema/files.ts";
import { baseRow, openStudy, type Study } from "../../src/study.ts";
import { anyCase } from "../laws/random-model.ts";
import { widest } from "../without-variants.ts";
import { attempted, differences, disagreements, hostileNumbers, judged } from "./agreement.ts";
import { constructs, constructsOf } from "./constructs.ts";
import { comparedBits } from "./expressions.ts";
import { guardedTable, pathways, plainLife, settingsOfPathways } from "./models.ts";

const root = join(import.meta.dirname, "../..");
const files = folderFiles(root);
const scenarios = widest(files.list().filter((path) => path.endsWith(".scenario.yaml")));

/** The base row and some draws. */
function rowsOf(study: Study, draws: number): Float64Array {
  const base = baseRow(study.program);
  const drawn = sampleRows(study.sampler, plain("referee", Math.max(1, draws)), 0, draws);
  const rows = new Float64Array(base.length + drawn.length);
  rows.set(base);
  rows.set(drawn, base.length);
  return rows;
}

const written: readonly (readonly [string, () => Study])[] = [
  ...settingsOfPathways.map((settings): readonly [string, () => Study] => [
    `pathways, ${settings.replace(/\s+/g, " ")}`,
    () => pathways(settings),
  ]),
  ["a life without factors", plainLife],
  ["a table asked where nobody is", () => guardedTable("place == there")],
  ["a table asked in its time", () => guardedTable("time < 3 years")],
];

describe("lanes agree with the referee", () => {
  test.each(scenarios)("on %s", (path) => {
    const study = openStudy(files, path);
    expect(differences(study, rowsOf(study, 2))).toEqual([]);
    const { count, different } = comparedBits(study, rowsOf(study, 2), 4, 3);
    expect(different).toEqual([]);
    expect(count).toBeGreaterThan(0);
  });

  test.each(written)("on %s", (_, open) => {
    const study = open();
    // few rows make every component a lane; with more of them those that stay the same serve all lanes
    expect(differences(study, rowsOf(study, 2))).toEqual([]);
    expect(differences(study, rowsOf(study, 11))).toEqual([]);
    const { count, different } = comparedBits(study, rowsOf(study, 3));
    expect(different).toEqual([]);
    expect(count).toBeGreaterThan(200);
  });

  test("on models that use every construct", () => {
    const used = new Set(written.flatMap(([, open]) => [...constructsOf(open().program)]));
    expect(constructs.filter((construct) => !used.has(construct))).toEqual([]);
  });

  test("on 500 random models", () => {
    let ran = 0;
    const run = (one: { readonly files: ReadonlyMap<string, string>; readonly path: string }): void => {
      const study = openStudy(bundleFiles(one.files), one.path);
      const rows = attempted(() => rowsOf(study, 2));
      const base = baseRow(study.program);
      const used = rows instanceof Float64Array ? rows : base;
      const found = attempted(() => differences(study, used));
      // draws may be out of range where base values are not; then the two must say so alike, row by row
      if (found.length > 0) expect(byRow(study, prepareRows(study.program, study.expansion), used)).toEqual([]);
      expect(comparedBits(study, used, 3, 3).different).toEqual([]);
      ran += 1;
    };
    fc.assert(fc.property(anyCase, run), { numRuns: 500, seed: 20260301, interruptAfterTimeLimit: 90_000 });
    // on a busy machine time may run out before the last
    expect(ran).toBeGreaterThan(50);
  });
});

/** Row by row: the same mistakes, or totals that agree. */
function byRow(study: Study, prepared: Prepared, rows: Float64Array): readonly string[] {
  const width = study.program.components.length;
  return Array.from({ length: width === 0 ? 1 : rows.length / width }, (_, k) => {
    const row = rows.slice(k * width, (k + 1) * width);
    const found = attempted(() => evaluateRows(prepared, row)!);
    const expected = attempted(() => judged(study, row));
    if ("totals" in expected) {
      // sums that overflow are a mistake of their own
      const sound = expected.totals.flat().every(Number.isFinite);
      if ("totals" in found) return sound ? disagreements(study, found, 0, expected) : [`row ${k}: ${expected.totals}`];
      return !sound && found.join() === "not-finite" ? [] : [...found, `row ${k}`];
    }
    // what the referee finds wrong may not matter to the totals asked for, but then they are finite
    if ("totals" in found) return [...found.totals].every(Number.isFinite) ? [] : [`row ${k}: totals are not finite`];
    return found.join() === expected.join() ? [] : [`row ${k}: ${found} is not ${expected}`];
  }).flat();
}

describe("outcomes", () => {
  const study = pathways();
  const rows = sampleRows(study.sampler, plain("blocks", 260), 0, 260);
  const prepared = prepareRows(study.program, study.expansion);

  test("have the same bits in blocks of any size", () => {
    const [first, ...others] = [64, 7, 100, 250, undefined].map((blockRows) => {
      const found = evaluateRows(prepared, rows, { byGroup: true, ...(blockRows === undefined ? {} : { blockRows }) })!;
      return [found.totals, found.lifeYears, found.byGroup!].map((list) => new BigUint64Array(list.buffer));
    });
    for (const other of others) expect(other).toEqual(first);
  });

  test("of a row do not depend on the rows beside it", () => {
    const width = study.program.components.length;
    const all = evaluateRows(prepared, rows)!;
    const per = all.strategies * all.accounts;
    for (const k of [0, 17, 259]) {
      const alone = evaluateRows(prepared, rows.slice(k * width, (k + 1) * width))!;
      expect([...alone.totals]).toEqual([...all.totals.subarray(k * per, (k + 1) * per)]);
    }
  });

  test("of groups are mixed by their shares in file order", () => {
    const { totals, byGroup, accounts } = evaluateRows(prepared, rows, { byGroup: true })!;
    const { groups } = study.program;
    for (let a = 0; a < accounts; a++) {
      let mixed = 0;
      for (const { index, share } of groups) mixed += share * byGroup![index * accounts + a]!;
      expect(totals[a]).toBe(mixed);
    }
  });

  test("come block by block, with progress, and stop when asked", () => {
    const done: number[] = [];
    evaluateRows(prepared, rows, { blockRows: 128, progress: (count) => done.push(count) });
    expect(done).toEqual([128, 256, 260]);
    expect(evaluateRows(prepared, rows, { blockRows: 128, cancelled: () => true })).toBeNull();
    const steps = rowBlocks(prepared, rows.subarray(0, study.program.components.length), {});
    expect(steps.next()).toEqual({ done: false, value: 1 });
    expect(steps.next().done).toBe(true);
  });

  test("of no rows are empty", () => {
    expect(evaluateRows(prepared, new Float64Array(0))!.totals).toHaveLength(0);
  });
});

describe("a bad row", () => {
  const study = pathways();
  const width = study.program.components.length;
  const prepared = prepareRows(study.program, study.expansion);
  const set = (rows: Float64Array, key: string, k: number, value: number): void => {
    const at = study.program.components.findIndex((component) => component.key === key);
    expect(at).toBeGreaterThanOrEqual(0);
    rows[k * width + at] = value;
  };

  test("is named with its expression, cycle, state and draw, and how many there are", () => {
    const rows = rowsOf(study, 20);
    set(rows, "stopping", 7, 1.5);
    set(rows, "stopping", 11, -3);
    let message = "";
    let codes: readonly string[] = [];
    try {
      evaluateRows(prepared, rows, { blockRows: 5 });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      codes = error.findings.map(({ code }) => code);
      message = error.message;
    }
    expect(codes).toEqual(["chance-out-of-range"]);
    expect(message).toContain("draw 8 (2 of 21 draws here)");
    expect(message).toMatch(/in state .*, cycle \d+, strategy \w+, group \w+/);
    expect(message).toContain("events.stopping");
  });

  test("whose values are out of range where nobody is does no harm", () => {
    const rows = rowsOf(study, 20);
    // nobody is ill at the start or falls ill, so care of the ill is never paid
    for (let k = 0; k < 21; k++) {
      set(rows, "ill_at_start", k, 0);
      set(rows, "falling[male]", k, 0);
      set(rows, "falling[female]", k, 0);
      set(rows, "regain", k, 0);
      set(rows, "care[ill]", k, k % 2 === 0 ? Number.NaN : 1e308);
    }
    expect(differences(study, rows)).toEqual([]);
  });

  test("of any hostile numbers gives totals or a mistake, and what the referee gives", () => {
    const { components, inputs } = study.program;
    const choices = new Set(inputs.filter((input) => input.choices !== null).map((input) => input.index));
    const row = fc.tuple(
      fc.array(fc.record({ at: fc.nat(width - 1), value: fc.constantFrom(...hostileNumbers) }), {
        minLength: 1,
        maxLength: 4,
      }),
      fc.boolean(),
    );
    fc.assert(
      fc.property(row, ([changes, all]) => {
        const values = baseRow(study.program);
        const change = (at: number, value: number): void => {
          if (!choices.has(components[at]!.input)) values[at] = value;
        };
        if (all) for (let i = 0; i < width; i++) change(i, changes[i % changes.length]!.value);
        else for (const { at, value } of changes) change(at, value);
        expect(byRow(study, prepared, values)).toEqual([]);
      }),
      { numRuns: 150, seed: 7, interruptAfterTimeLimit: 60_000 },
    );
  });

  test("of hostile numbers gives expressions the referee's bits", () => {
    const hostile = [Number.NaN, Infinity, -Infinity, 0, -0, -1, 1e308, 5e-324, -1e-310, 0.5];
    const { components, inputs } = study.program;
    const rows = rowsOf(study, hostile.length - 1);
    for (const [i, { input }] of components.entries()) {
      if (inputs[input]!.choices !== null) continue;
      for (const k of hostile.keys()) rows[k * width + i] = hostile[(k + (i % 7) * i) % hostile.length]!;
    }
    const { count, different } = comparedBits(study, rows);
    expect(different).toEqual([]);
    expect(count).toBeGreaterThan(1000);
  });

  test("with a choice there is not is refused", () => {
    const rows = rowsOf(study, 3);
    set(rows, "regimen", 2, 2);
    expect(attempted(() => evaluateRows(prepared, rows))).toEqual(["out-of-range"]);
  });

  test("that reads a table beyond its rows where people are is refused", () => {
    const strict = guardedTable("time < 5 years");
    expect(attempted(() => evaluateRows(prepareRows(strict.program, strict.expansion), rowsOf(strict, 2)))).toEqual([
      "table-range",
    ]);
  });
});
