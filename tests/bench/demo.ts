import type { Prepared } from "../../src/engine/rows.ts";
import { sampleRows } from "../../src/engine/sample.ts";
import { converted } from "../../src/evidence/base-value.ts";
import { folderFiles } from "../../src/host/files.ts";
import { plain } from "../../src/numerics/designs/plain.ts";
import { baseRow, openStudy, runBase, type Study } from "../../src/study.ts";
import { type CommandTaken, command } from "./command.ts";
import { evaluated, ready } from "./own.ts";
import { projectFolder } from "./project.ts";
import { type Contestant, timed } from "./rounds.ts";

const scenario = "scenarios/harbour/base.scenario.yaml";

/** The demo, ready for rows. */
export interface Demo {
  readonly study: Study;
  readonly prepared: Prepared;
}

/** Opens the demo. */
export function openDemo(): Demo {
  const study = openStudy(folderFiles(projectFolder()), scenario);
  return { study, prepared: ready(study) };
}

/**
 * Two rows for each input with a law of its own: the base row with that input at its 2.5th and at its 97.5th percentile.
 */
export function oneWayRows({ program, sampler }: Study): Float64Array {
  const base = baseRow(program);
  const cells = sampler.laws.drawings.flatMap((drawing, i) =>
    drawing.how === "law"
      ? [0.025, 0.975].map((p) => [i, converted(drawing.law.quantile(p), program.components[i]!.conversion)] as const)
      : [],
  );
  const rows = new Float64Array(cells.length * base.length);
  for (const [k, [i, value]] of cells.entries()) {
    rows.set(base, k * base.length);
    rows[k * base.length + i] = value;
  }
  return rows;
}

/** Something of the demo that is timed. */
export interface DemoContestant extends Contestant {
  readonly label: string;
}

/** What is timed of the demo, with so many draws. */
export function demoContestants({ study, prepared }: Demo, draws: number, rounds: number): readonly DemoContestant[] {
  const base = baseRow(study.program);
  const oneWay = oneWayRows(study);
  const design = plain("bench", draws);
  const rows = sampleRows(study.sampler, design, 0, draws);
  const count = draws.toLocaleString("en");
  const one = (id: string, label: string, work: () => unknown): DemoContestant => ({
    id,
    label,
    rounds,
    run: () => timed(work),
  });
  return [
    one("base", "base case, a row", () => evaluated(prepared, base)),
    one("base-answers", "base case with all its answers", () => runBase(study)),
    one("one-way", `one-way of all inputs, ${oneWay.length / base.length} rows`, () => evaluated(prepared, oneWay)),
    one("sample", `${count} draws, inputs sampled`, () => sampleRows(study.sampler, design, 0, draws)),
    one("rows", `${count} draws, rows evaluated`, () => evaluated(prepared, rows)),
    {
      id: "ask",
      label: "`ask worth` from cold",
      rounds,
      isFresh: true,
      run: () => command(["ask", "worth", scenario]),
    },
    ...[1, 2].map((threads) => ({
      id: `command-${threads}`,
      label: `${count} draws, the whole command on ${threads === 1 ? "one thread" : "two threads"}`,
      rounds: Math.min(2, rounds),
      isFresh: true,
      run: () => command(["run", scenario, "--draws", String(draws), "--threads", String(threads), "--json"]),
    })),
  ];
}

/** A run of many draws from the command line: seconds, and the largest memory of its process. */
export interface LongRun extends CommandTaken {
  readonly draws: number;
}

/** The command line's run of the demo with a million draws, on as many threads as it takes by itself. */
export function millionDraws(): LongRun {
  const draws = 1_000_000;
  return { draws, ...command(["run", scenario, "--draws", String(draws), "--json"]) };
}
