import { join } from "node:path";
import { expect, test } from "vitest";
import { accountTotal } from "../../src/analysis/totals.ts";
import { folderFiles } from "../../src/host/files.ts";
import { openStudy, runReference } from "../../src/study.ts";
import { workloadRows } from "./workload/rows.ts";

// First draw, four strategies: cost, QALY, life years, events. Source: constructed; plain C in double precision.
const expected = [
  [39169.33499866067, 19.27499298258535, 31.1644482543459, 0.5989792309838563],
  [41038.8036348813, 19.419014757777457, 31.269024367478192, 0.5944519099290181],
  [45251.61476697714, 20.61730351936499, 32.50335815492271, 0.5166582832912184],
  [38797.07868003624, 19.70971349850152, 31.539839150941848, 0.5808904839367744],
];

test("the reference workload as a model gives the figures of plain C to 1e-9", () => {
  const study = openStudy(folderFiles(join(import.meta.dirname, "workload")), "scenarios/workload.scenario.yaml");
  const { program } = study;
  expect(program.components).toHaveLength(60);
  const traced = runReference(study, workloadRows(program, 1));
  for (const [s, figures] of expected.entries()) {
    for (const [account, figure] of figures.entries()) {
      const found = accountTotal(program, traced[s]![0]!, account);
      expect(Math.abs(found / figure - 1)).toBeLessThan(1e-9);
    }
  }
});
