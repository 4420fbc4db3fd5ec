import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, test, vi } from "vitest";
import { ClusterSearch, type Clusters } from "../../src/compile/kernel/clusters.ts";
import type { Instance } from "../../src/compile/kernel/module.ts";
import type { Outcomes } from "../../src/engine/outcomes.ts";
import { evaluateRows, prepareRows, type RowsOptions } from "../../src/engine/rows.ts";
import { sampleRows } from "../../src/engine/sample.ts";
import { InputError } from "../../src/errors.ts";
import { folderFiles } from "../../src/host/files.ts";
import { instantiate } from "../../src/host/instantiate.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { bundleFiles } from "../../src/schema/files.ts";
import { baseRow, openStudy, type Study } from "../../src/study.ts";
import { openRing, ringRows } from "../bench/ring.ts";
import { workloadRows } from "../bench/workload/rows.ts";
import { anyCase } from "../laws/random-model.ts";
import { widest } from "../without-variants.ts";
import { attempted, hostileNumbers } from "./agreement.ts";
import { constructs, constructsOf } from "./constructs.ts";
import { crossedGroups, guardedTable, pathways, plainLife, settingsOfPathways } from "./models.ts";

const root = join(import.meta.dirname, "../..");
const files = folderFiles(root);
const scenarios = widest(files.list().filter((path) => path.endsWith(".scenario.yaml")));

/** The base row and some draws. */
function rowsOf(study: Study, draws: number): Float64Array {
  const base = baseRow(study.program);
  const drawn = sampleRows(study.sampler, plain("kernel", draws), 0, draws);
  const rows = new Float64Array(base.length + drawn.length);
  rows.set(base);
  rows.set(drawn, base.length);
  return rows;
}

/** Outcomes, or what is wrong with the rows. */
function found(run: () => Outcomes): readonly (readonly number[])[] | string {
  try {
    const { totals, lifeYears, byGroup } = run();
    return [[...totals], [...lifeYears], [...(byGroup ?? [])]];
  } catch (error) {
    if (error instanceof InputError) return error.message;
    throw error;
  }
}

interface Comparison {
  /** Kernels made, and pairs of lanes they were given. */
  readonly kernels: number;
  readonly pairs: number;
  readonly different: readonly string[];
}

/** Compares every outcome's bits, of the kernel and of the lane evaluator. */
function compared(study: Study, rows: Float64Array, options: RowsOptions = {}): Comparison {
  let kernels = 0;
  let pairs = 0;
  const counting = (bytes: Uint8Array, pages: number): Instance => {
    const { memory, exports } = instantiate(bytes, pages);
    kernels += 1;
    const run = (...integers: readonly number[]): void => {
      pairs += 1;
      exports["run"]!(...integers);
    };
    return { memory, exports: { run } };
  };
  const prepared = prepareRows(study.program, study.expansion);
  const all = { ...options, byGroup: true };
  const lanes = found(() => evaluateRows(prepared, rows, all)!);
  const speed = { instantiate: counting, kernelFrom: 0 };
  const kernel = found(() => evaluateRows(prepareRows(study.program, study.expansion, speed), rows, all)!);
  const different: string[] = [];
  if (typeof lanes === "string" || typeof kernel === "string") {
    if (lanes !== kernel) different.push(`${kernel} is not ${lanes}`);
  } else {
    for (const [list, values] of lanes.entries())
      for (const [i, value] of values.entries())
        if (!Object.is(kernel[list]![i], value) && different.length < 5)
          different.push(`list ${list}, ${i}: ${kernel[list]![i]} is not ${value}`);
  }
  return { kernels, pairs, different };
}

const written: readonly (readonly [string, () => Study])[] = [
  ...settingsOfPathways.map((settings): readonly [string, () => Study] => [
    `pathways, ${settings.replace(/\s+/g, " ")}`,
    () => pathways(settings),
  ]),
  ["a life without factors", plainLife],
  ["a table asked in its time", () => guardedTable("time < 3 years")],
];

describe("the kernel gives the bits of the lane evaluator", () => {
  test.each(scenarios)("on %s", (path) => {
    const study = openStudy(files, path);
    const { kernels, pairs, different } = compared(study, rowsOf(study, 20));
    expect(different).toEqual([]);
    expect(kernels).toBeGreaterThan(0);
    expect(pairs).toBe(11 * study.program.analysis.compare.length);
  });

  test.each(written)("on %s", (_, open) => {
    const study = open();
    const { different, pairs } = compared(study, rowsOf(study, 30));
    expect(different).toEqual([]);
    expect(pairs).toBeGreaterThan(0);
  });

  test("on models that use every construct", () => {
    const used = new Set(written.flatMap(([, open]) => [...constructsOf(open().program)]));
    expect(constructs.filter((construct) => !used.has(construct))).toEqual([]);
  });

  test("on 500 random models", () => {
    let pairs = 0;
    const run = (one: { readonly files: ReadonlyMap<string, string>; readonly path: string }): void => {
      const study = openStudy(bundleFiles(one.files), one.path);
      const rows = attempted(() => rowsOf(study, 10));
      if (!(rows instanceof Float64Array)) return;
      const comparison = compared(study, rows);
      expect(comparison.different).toEqual([]);
      pairs += comparison.pairs;
    };
    fc.assert(fc.property(anyCase, run), { numRuns: 500, seed: 20260302, interruptAfterTimeLimit: 90_000 });
    expect(pairs).toBeGreaterThan(1000);
  });
});

test("a number that serves all lanes and is out of range is left to careful lanes", () => {
  const study = guardedTable("place == there");
  expect(compared(study, rowsOf(study, 20))).toEqual({ kernels: 0, pairs: 0, different: [] });
});

test("groups that share much of their work have the bits of the lane evaluator", () => {
  const found = vi.spyOn(ClusterSearch.prototype, "best");
  const study = pathways("counting: middle", "", crossedGroups);
  const { different, pairs } = compared(study, rowsOf(study, 30));
  expect(different).toEqual([]);
  expect(pairs).toBe(16 * study.program.analysis.compare.length);
  const sizes = found.mock.results.map(({ value }) => (value as Clusters | null)?.groups.length);
  found.mockRestore();
  expect(study.program.groups.length).toBe(8);
  expect(new Set(sizes)).toEqual(new Set([4, undefined]));
});

test("a cycle so long that it is done in parts has the bits of the lane evaluator", () => {
  const study = openRing(400, 12);
  const { different, pairs } = compared(study, ringRows(study, 13));
  expect(different).toEqual([]);
  expect(pairs).toBe(7);
});

describe("outcomes of the kernel", () => {
  const study = pathways();
  const rows = rowsOf(study, 300);
  const width = study.program.components.length;

  test.each([1, 2, 7, 64, 100, 250, 301])("have the same bits in blocks of %i", (blockRows) => {
    const { different, pairs } = compared(study, rows, { blockRows });
    expect(different).toEqual([]);
    expect(pairs).toBeGreaterThan(150);
  });

  test.each([9, 10, 11, 12, 13])("have the same bits for %i rows", (N) => {
    expect(compared(study, rows.slice(0, N * width)).different).toEqual([]);
  });

  test("of any hostile numbers are those of the lane evaluator", () => {
    const hostile = [...hostileNumbers, 800, -800];
    const { components, inputs } = study.program;
    const choices = new Set(inputs.filter((input) => input.choices !== null).map((input) => input.index));
    const change = fc.record({ row: fc.nat(11), at: fc.nat(width - 1), value: fc.constantFrom(...hostile) });
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 6 }), fc.boolean(), (changes, everywhere) => {
        const changed = rows.slice(0, 12 * width);
        for (const { row, at, value } of changes) {
          if (choices.has(components[at]!.input)) continue;
          if (everywhere) for (let k = 0; k < 12; k++) changed[k * width + at] = value;
          else changed[row * width + at] = value;
        }
        expect(compared(study, changed).different).toEqual([]);
      }),
      { numRuns: 60, seed: 11, interruptAfterTimeLimit: 60_000 },
    );
  });
});

describe("the reference workload", () => {
  const study = openStudy(folderFiles(join(root, "tests/bench/workload")), "scenarios/workload.scenario.yaml");
  const { program, expansion } = study;
  const outcomes = evaluateRows(prepareRows(program, expansion, { instantiate }), workloadRows(program, 10_000))!;
  const [S, A] = [outcomes.strategies, outcomes.accounts];

  // Source: plain C in double precision, tests/bench/peers/workload.c
  test.each([
    [0, [39169.33499866067, 19.27499298258535, 31.1644482543459, 0.5989792309838563]],
    [1, [41038.8036348813, 19.419014757777457, 31.269024367478192, 0.5944519099290181]],
    [2, [45251.61476697714, 20.61730351936499, 32.50335815492271, 0.5166582832912184]],
    [3, [38797.07868003624, 19.70971349850152, 31.539839150941848, 0.5808904839367744]],
  ])("strategy %i of the first draw has the figures of plain C to 1e-9", (s, figures) => {
    for (const [account, figure] of figures.entries())
      expect(Math.abs(outcomes.totals[s * A + account]! / figure - 1)).toBeLessThan(1e-9);
  });

  // Source: as above
  test.each([
    ["cost", 0, [38749.79891036304, 41669.03470569867, 44899.17069997864, 39692.11760453573]],
    ["QALY", 1, [18.485706158850157, 18.623040488159603, 19.7161672967096, 18.7664462118602]],
  ] as const)("means over 10,000 draws of %s are those of plain C to 1e-9", (_, account, figures) => {
    for (const [s, figure] of figures.entries()) {
      let sum = 0;
      for (let k = 0; k < outcomes.rows; k++) sum += outcomes.totals[(k * S + s) * A + account]!;
      expect(Math.abs(sum / outcomes.rows / figure - 1)).toBeLessThan(1e-9);
    }
  });

  test("has the bits of the lane evaluator", () => {
    expect(compared(study, workloadRows(program, 130)).different).toEqual([]);
  });
});
