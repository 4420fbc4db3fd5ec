import type { FileSource } from "../../src/schema/files.ts";
import { parameters } from "../bench/workload/rows.ts";

/** The reference workload with laws in place of the middles of its ranges. */
export const drawnWorkload = "scenarios/drawn.scenario.yaml";

const fixedWorkload = "scenarios/workload.scenario.yaml";

/**
 * The files of the reference workload and, beside its scenario, one in which every input has the mean and the standard
 * deviation of an even law over its range.
 */
export function withDrawnWorkload(workload: FileSource): FileSource {
  return {
    read: (path) => (path === drawnWorkload ? drawn(workload.read(fixedWorkload) ?? "") : workload.read(path)),
    list: () => [...workload.list(), drawnWorkload],
  };
}

function drawn(text: string): string {
  const ranges = new Map(parameters.map(([key, ...range]) => [key, range]));
  let input = "";
  return text
    .replace("scenario: workload", "scenario: drawn workload")
    .replace(/why: middle of its range,\s*/g, "")
    .replace(
      /^ {2}(\w+):|(?:(s\d): \{ )?fixed: ([-\d.]+)([^,}]*)/gm,
      (found: string, name: string | undefined, strategy: string | undefined, middle: string, unit: string) => {
        input = name ?? input;
        if (name !== undefined) return found;
        const range = ranges.get(strategy === undefined ? input : `${input}[${strategy}]`);
        if (range === undefined) throw new Error(`no range of ${input} ${strategy}`);
        const [low, high] = range;
        const law = `mean: ${middle}${unit.trimEnd()}, se: ${(high - low) / Math.sqrt(12)}${unit}`;
        return strategy === undefined ? law : `${strategy}: { ${law}`;
      },
    );
}
