import { expect, test } from "vitest";
import { accountTotal } from "../../src/analysis/totals.ts";
import { runReference } from "../../src/study.ts";
import { openWorkload } from "./own.ts";
import { expectedFirst } from "./workload/expected.ts";
import { parameters, peerRows, workloadRows } from "./workload/rows.ts";

test("the reference workload as a model gives the figures of plain C to 1e-9", () => {
  const study = openWorkload();
  const { program } = study;
  expect(program.components).toHaveLength(60);
  const traced = runReference(study, workloadRows(program, 1));
  for (const [i, figure] of expectedFirst.entries()) {
    const found = accountTotal(program, traced[Math.floor(i / 4)]![0]!, i % 4);
    expect(Math.abs(found / figure - 1)).toBeLessThan(1e-9);
  }
});

test("peers get the rows of the model, but that money is per month", () => {
  const { program } = openWorkload();
  const [own, theirs] = [workloadRows(program, 2), peerRows(2)];
  for (const [k, [name]] of parameters.entries()) {
    const at = program.components.findIndex(({ key }) => key === name);
    const monthly = /^c(ef|dm|chd|str|dmchd|dmstr|multi|_fu\[s\d\])$/.test(name);
    expect(own[60 + at]! / theirs[60 + k]!).toBeCloseTo(monthly ? 12 : 1, 12);
  }
});
