import type { Program } from "../compile/program.ts";
import type { EvidenceWarning } from "../evidence/laws.ts";
import { digest } from "../numerics/digest.ts";
import { numericVersion, version } from "../version.ts";
import { cautions, hasInvented } from "./cautions.ts";
import type { ComparedAnswer } from "./compared.ts";
import type { CostsAnswer } from "./costs.ts";
import type { SureAnswer } from "./sure-answer.ts";
import type { WorksAnswer } from "./works.ts";
import type { WorthAnswer } from "./worth.ts";

/** The questions in the order a payer asks them; the same ids everywhere. */
export const questions = [
  { id: "compared", title: "What is compared, in whom?" },
  { id: "works", title: "Does it work as well?" },
  { id: "costs", title: "What does it cost?" },
  { id: "worth", title: "Is it worth it?" },
  { id: "sure", title: "How sure are we?" },
] as const;

/** The id of a question. */
export type QuestionId = (typeof questions)[number]["id"];

/** What was run, so that it can be run again. */
export interface ResultMeta {
  readonly scenario: string;
  readonly about: string | null;
  readonly model: string;
  readonly version: string;
  readonly seed: string | null;
  readonly draws: number;
  readonly design: string | null;
  /** SHA-256 over effective scenario, model, tables, rows of joint draws and the version of the numbers. */
  readonly hash: string;
  /** When it was made, only where asked for. */
  readonly generated: string | null;
  readonly invented: boolean;
  readonly cautions: readonly string[];
  /** What the evidence's distributions leave to be said, by input. */
  readonly warnings: readonly EvidenceWarning[];
}

/** Where people are at each boundary, opening vectors for 0 to the last. */
export interface TraceTable {
  readonly states: readonly string[];
  readonly membership: readonly (readonly number[])[];
}

/** The result document: the same for the command line, the server, the page and the report. */
export interface ResultDocument {
  readonly meta: ResultMeta;
  readonly answers: {
    readonly compared: ComparedAnswer;
    readonly works: WorksAnswer;
    readonly costs: CostsAnswer;
    readonly worth: WorthAnswer;
    /** Only where draws were run. */
    readonly sure?: SureAnswer;
  };
  readonly trace?: Readonly<Record<string, TraceTable>>;
}

/**
 * SHA-256 of everything that decides the numbers: what a base scenario and a table hold, not the path under which they
 * were found. The path of a file of draws counts, since its rows are drawn by that name.
 */
export function caseHash(program: Program): string {
  const { extends: _, tables: given = {}, ...scenario } = program.scenario.data;
  const tables = program.tables.map(({ name, x, y }) => {
    const { file, ...data } = given[name] ?? {};
    return { name, data, x: [...x], y: y.map((values) => [...values]) };
  });
  const rows = program.components.flatMap(({ key, reported }) =>
    reported.form === "draws" ? [{ key, values: reported.values }] : [],
  );
  return digest(JSON.stringify({ scenario, model: program.model.data, tables, rows, numericVersion }));
}

/** How the run was made. */
export interface RunDescription {
  readonly seed: string | null;
  readonly draws: number;
  readonly design: string | null;
  readonly generated: string | null;
  readonly warnings: readonly EvidenceWarning[];
  /** What is said of the author's assertions that do not hold and only warn. */
  readonly unmet: readonly string[];
}

/** The document's head. */
export function resultMeta(program: Program, run: RunDescription): ResultMeta {
  return {
    scenario: program.scenario.data.scenario,
    about: program.scenario.data.about ?? null,
    model: program.model.data.model,
    version,
    seed: run.seed,
    draws: run.draws,
    design: run.design,
    hash: caseHash(program),
    generated: run.generated,
    invented: hasInvented(program),
    cautions: [...cautions(program), ...run.unmet],
    warnings: run.warnings,
  };
}
