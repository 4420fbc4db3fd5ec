import { checkExpectations } from "../../src/analysis/expectations.ts";
import { entryTotal } from "../../src/analysis/totals.ts";
import type { Program } from "../../src/compile/program.ts";
import { sampleRows, sampler } from "../../src/engine/sample.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { compensatedSum } from "../../src/numerics/sum.ts";
import { demand, demandNear, demandSameBits } from "./demand.ts";
import { demandSame, type Law } from "./law.ts";
import { opened, rerun, rerunFirst } from "./opened.ts";
import { inOneFile } from "./random-model.ts";

/** Strategies compared in another order give the same bits. */
export const orderOfStrategiesIsFree: Law = ({ program, row, traced }) => {
  const [first, ...others] = program.analysis.compare;
  const compare = [...others.reverse(), first!];
  const found = rerun({ ...program, analysis: { ...program.analysis, compare } }, row);
  for (const [k, strategy] of compare.entries()) {
    const was = traced[program.analysis.compare.indexOf(strategy)]!;
    for (const [g, trace] of found[k]!.entries()) {
      demandSame(trace, was[g]!, `strategy ${strategy}, group ${g}`);
      demandSameBits(trace.membership, was[g]!.membership, `membership, strategy ${strategy}, group ${g}`);
    }
  }
};

/** A population is the share-weighted sum of its groups, each of which does as it would alone. */
export const groupsAverage: Law = ({ program, row, traced, results }) => {
  for (const group of program.groups) {
    const alone: Program = { ...program, groups: [{ ...group, index: 0, share: 1 }] };
    for (const [k, [found]] of rerun(alone, row).entries())
      demandSame(found!, traced[k]![group.index]!, `group ${group.id} alone`);
  }
  for (const [k, { mixed }] of results.entries()) {
    for (const [e, entry] of program.entries.entries()) {
      const parts = program.groups.map(({ index, share }) => share * entryTotal(program, traced[k]![index]!, e));
      const found = entryTotal(program, mixed, e);
      demandNear(found, compensatedSum(parts), mixed.absolute[e]!, `line ${entry.line} of all groups`);
    }
  }
};

/** What is run twice gives the same bits. */
export const repeatsBitForBit: Law = ({ program, row, traced }) => {
  const found = rerunFirst(program, row);
  demandSame(found, traced[0]![0]!, "run again");
  demandSameBits(found.membership, traced[0]![0]!.membership, "membership, run again");
};

/** A scenario that extends another is what the two are when written as one. */
export const twoFilesAreOne: Law = (one) => {
  if (!one.case.constructs.has("scenario.extends")) return;
  const found = opened(inOneFile(one.case));
  demandSameBits(found.row, one.row, "base values");
  for (const [k, groups] of found.traced.entries()) {
    for (const [g, trace] of groups.entries()) demandSame(trace, one.traced[k]![g]!, "scenario in one file");
  }
};

/** Assertions that hold whatever the numbers do. */
export const expectationsHold: Law = ({ program, row, results }) => {
  const unmet = checkExpectations(program, row, results);
  const warnings = program.expectations.filter(({ otherwise }) => otherwise !== null);
  demand(unmet.length === warnings.length, () => `${unmet.length} warnings of ${warnings.length}`);
};

/** Rows drawn from the evidence are in range and run. */
export const drawsRun: Law = ({ program }) => {
  const rows = sampleRows(sampler(program), plain("laws", 2), 0, 2);
  const width = program.components.length;
  for (let k = 0; k < 2; k++) rerunFirst(program, rows.subarray(k * width, (k + 1) * width));
};
