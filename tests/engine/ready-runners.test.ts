import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { rangeOf } from "../../src/compile/kernel/ranges.ts";
import { evaluateRows, prepareRows } from "../../src/engine/rows.ts";
import { sampleRows } from "../../src/engine/sample.ts";
import { folderFiles } from "../../src/host/files.ts";
import { instantiate } from "../../src/host/instantiate.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { openStudy } from "../../src/study.ts";

const study = openStudy(
  folderFiles(join(import.meta.dirname, "../..")),
  "scenarios/published/hiv-mono-vs-combo.scenario.yaml",
);
const { program, expansion } = study;
const width = program.components.length;
const perStrategy = program.analysis.compare.length;
const draws = 4000;
const rows = sampleRows(study.sampler, plain("ready", draws), 0, draws);
const block = (k: number): Float64Array => rows.slice(100 * k * width, 100 * (k + 1) * width);

/** Prepared rows, and how many kernels were made of them. */
function counting() {
  let made = 0;
  const prepared = prepareRows(program, expansion, {
    kernelFrom: 0,
    instantiate(bytes, pages) {
      made += 1;
      return instantiate(bytes, pages);
    },
  });
  return { prepared, made: () => made };
}

const bits = (values: Float64Array): BigUint64Array => new BigUint64Array(values.slice().buffer);

describe("lanes made ready", () => {
  test("serve the blocks of a run, and a second run of the same rows, with kernels made once", () => {
    const { prepared, made } = counting();
    const plainLanes = prepareRows(program, expansion);
    const expected = evaluateRows(plainLanes, rows)!.totals;
    const per = expected.length / draws;
    for (let run = 0; run < 2; run++)
      for (let k = 0; k < draws / 100; k++) {
        const found = evaluateRows(prepared, block(k), { firstDraw: 100 * k, rowsInAll: draws })!.totals;
        expect(bits(found)).toEqual(bits(expected.subarray(100 * k * per, 100 * (k + 1) * per)));
      }
    // once, and again where rows came that did not fit
    expect(made()).toBeLessThanOrEqual(3 * perStrategy);
    expect(made()).toBeGreaterThan(0);
  });

  test("are made once where it is foreseen what rows hold", () => {
    const { prepared, made } = counting();
    const foreseen = () => ({ ranges: Array.from({ length: width }, (_, i) => rangeOf(rows, i, width)), isAll: true });
    for (let k = 0; k < draws / 100; k++) evaluateRows(prepared, block(k), { rowsInAll: draws, foreseen });
    expect(made()).toBe(perStrategy);
  });

  test("are made anew for rows that do not fit: beyond the ranges, or where a constant changes", () => {
    const { prepared, made } = counting();
    evaluateRows(prepared, block(0), { rowsInAll: draws });
    expect(made()).toBe(perStrategy);
    evaluateRows(prepared, block(0).slice(0, 20 * width), { rowsInAll: draws });
    expect(made()).toBe(perStrategy);
    const constant = Array.from({ length: width }, (_, i) => i).find((i) =>
      block(0).every((value, at) => at % width !== i || value === rows[i]),
    )!;
    const varied = Array.from({ length: width }, (_, i) => i).find((i) => rows[i] !== rows[width + i])!;
    for (const at of [constant, varied]) {
      const before = made();
      const changed = block(1);
      // far away, yet allowed
      changed[at] = changed[at]! * 1e-7;
      const found = evaluateRows(prepared, changed, { rowsInAll: draws })!.totals;
      expect(bits(found)).toEqual(bits(evaluateRows(prepareRows(program, expansion), changed)!.totals));
      expect(made()).toBeGreaterThan(before);
    }
  });

  test("follow no kernel where few rows are to come", () => {
    let made = 0;
    const prepared = prepareRows(program, expansion, {
      instantiate(bytes, pages) {
        made += 1;
        return instantiate(bytes, pages);
      },
    });
    evaluateRows(prepared, block(0).slice(0, 10 * width));
    expect(made).toBe(0);
    evaluateRows(prepared, block(0), { rowsInAll: 1e7 });
    expect(made).toBe(perStrategy);
  });
});
