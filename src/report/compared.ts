import type { StrategyResult } from "../analysis/base-case.ts";
import { eventCount, resourceUse } from "../analysis/totals.ts";
import type { Program } from "../compile/program.ts";
import { listText, yearsText } from "./format.ts";

/** How often an event or branch happened, or how much of a resource was used, per 1,000 starters. */
export interface PerThousand {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly perThousand: Readonly<Record<string, number>>;
}

/** The answer to "What is compared, in whom?". */
export interface ComparedAnswer {
  readonly headline: string;
  readonly horizonYears: number;
  readonly cycleYears: number;
  /** How long the evidence followed people; null where the scenario does not say. */
  readonly followUpYears: number | null;
  readonly perspective: string;
  readonly strategies: readonly { readonly id: string; readonly label: string; readonly steps: readonly string[] }[];
  readonly population: readonly {
    readonly id: string;
    readonly label: string;
    readonly share: number;
    readonly attributes: Readonly<Record<string, string | number>>;
  }[];
  readonly events: readonly PerThousand[];
  readonly resources: readonly PerThousand[];
}

/** Pathways side by side: steps, what happens to 1,000 people, what is used for them; and who they are. */
export function comparedAnswer(program: Program, results: readonly StrategyResult[]): ComparedAnswer {
  const { analysis, scope } = program;
  const labels = results.map(({ called }) => called);
  const groups = program.groups.length === 1 ? "one group of people" : `${program.groups.length} groups of people`;
  const attributes = [...scope.attributes.values()];
  return {
    headline: `Compared over ${yearsText(analysis.horizonYears)}: ${listText(labels)}, in ${groups}, ${analysis.perspective === "all" ? "all costs counted" : `as the ${analysis.perspective} sees it`}.`,
    horizonYears: analysis.horizonYears,
    cycleYears: program.grid.cycleYears,
    followUpYears: analysis.followUpYears,
    perspective: analysis.perspective,
    strategies: results.map(({ strategy, id, label }) => ({ id, label, steps: program.strategies[strategy]!.steps })),
    population: program.groups.map(({ id, label, share, attributes: values }) => ({
      id,
      label,
      share,
      attributes: Object.fromEntries(
        attributes.map((attribute, i) => [attribute.name, attribute.levels?.[values[i]!] ?? values[i]!]),
      ),
    })),
    events: program.paths.map((path, index) => ({
      id: path,
      label: pathLabel(program, path),
      unit: "case",
      perThousand: Object.fromEntries(results.map(({ id, mixed }) => [id, 1000 * eventCount(program, mixed, index)])),
    })),
    resources: resourceRows(program, results),
  };
}

/** Use of each resource per 1,000 starters. */
export function resourceRows(program: Program, results: readonly StrategyResult[]): readonly PerThousand[] {
  return program.resources.map((resource) => ({
    id: resource.name,
    label: resource.label,
    unit: resource.unit,
    perThousand: Object.fromEntries(
      results.map(({ id, mixed }) => [id, 1000 * resourceUse(program, mixed, resource.index)]),
    ),
  }));
}

/** The path of an event in words. */
export function pathLabel(program: Program, path: string): string {
  const names = path.split(".");
  return names
    .map((name, i) => program.eventLabels.get(names.slice(0, i + 1).join(".")) ?? name.replaceAll("_", " "))
    .join(": ");
}
