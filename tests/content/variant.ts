import { join } from "node:path";
import { accountTotal, lifeYears } from "../../src/analysis/totals.ts";
import type { Traced } from "../../src/engine/traced.ts";
import { folderFiles } from "../../src/host/files.ts";
import { layeredFiles } from "../../src/schema/case-texts.ts";
import { bundleFiles } from "../../src/schema/files.ts";
import { baseRow, openStudy, runReference, type Study } from "../../src/study.ts";

const root = join(import.meta.dirname, "../..");
const path = "scenarios/harbour/variant.scenario.yaml";
const head = "scenario: variant\nextends: ./base.scenario.yaml\n";

/** Totals of the base case of one strategy in one group, costs as the payer sees them. */
export interface Totals {
  readonly cost: number;
  readonly qaly: number;
  /** Undiscounted. */
  readonly lifeYears: number;
  readonly traced: Traced;
}

/** A variant of the demo, opened and run. */
export interface Variant {
  readonly study: Study;
  /** Totals of a compared strategy in a group; the first group unless said. */
  of(strategy: string, group?: string): Totals;
  /** What a strategy costs and yields more than the programme. */
  more(strategy: string, group?: string): { readonly cost: number; readonly qaly: number };
}

/** Runs the demo with some lines of a scenario laid over its base; `more` holds further files of the case. */
export function variant(text: string, more: Readonly<Record<string, string>> = {}): Variant {
  const own = bundleFiles(new Map([[path, head + text], ...Object.entries(more)]));
  const study = openStudy(layeredFiles(own, folderFiles(root)), path);
  const { program } = study;
  const traced = runReference(study, baseRow(program));
  const account = (name: string): number => program.accounts.find((one) => one.name === name)!.index;
  const of = (strategy: string, group?: string): Totals => {
    const s = program.analysis.compare.findIndex((one) => program.strategies[one]!.id === strategy);
    const g = group === undefined ? 0 : program.groups.findIndex(({ id }) => id === group);
    const one = traced[s]![g]!;
    return {
      cost: accountTotal(program, one, account("cost"), "payer"),
      qaly: accountTotal(program, one, account("qaly")),
      lifeYears: lifeYears(program, one),
      traced: one,
    };
  };
  return {
    study,
    of,
    more(strategy, group) {
      const [one, other] = [of(strategy, group), of("programme", group)];
      return { cost: one.cost - other.cost, qaly: one.qaly - other.qaly };
    },
  };
}
