import type { Expansion } from "../compile/expand.ts";
import type { Program } from "../compile/program.ts";
import { InputError, inputError } from "../errors.ts";
import { placeIn } from "../schema/document.ts";
import type { Outcomes } from "./outcomes.ts";
import { referee } from "./reference.ts";
import type { Traced } from "./traced.ts";

/** A row of which a fast evaluator says that something in it is out of range under a compared strategy. */
export interface Suspect {
  readonly row: number;
  readonly s: number;
}

interface Run {
  readonly program: Program;
  readonly expansion: Expansion;
}

/**
 * Lets the referee judge suspect rows, the first one first: throws what it finds wrong, with the number of the draw and,
 * unless the rows are a block of a run that begins at `firstDraw`, how many there are. Where it finds nothing its own
 * totals are written in their place.
 */
export function judgeSuspects(
  run: Run,
  rows: Float64Array,
  outcomes: Outcomes,
  suspects: readonly Suspect[],
  firstDraw: number | null,
): void {
  const { program, expansion } = run;
  const width = program.components.length;
  const evaluate = referee(program, expansion);
  const groups = program.groups.map(({ index }) => index);
  const draws = new Set(suspects.map(({ row }) => row)).size;
  for (const { row, s } of [...suspects].sort((a, b) => a.row - b.row || a.s - b.s)) {
    const many = firstDraw === null ? ` (${draws} of ${outcomes.rows} draws here)` : "";
    const where = outcomes.rows === 1 && firstDraw === null ? "" : `, draw ${(firstDraw ?? 0) + row + 1}${many}`;
    const values = rows.slice(row * width, (row + 1) * width);
    const strategy = program.analysis.compare[s]!;
    try {
      const traced = evaluate(values, strategy, groups);
      write(program, outcomes, row, s, traced);
    } catch (error) {
      if (!(error instanceof InputError) || where === "") throw error;
      throw new InputError(error.findings.map((found) => ({ ...found, message: `${found.message}${where}` })));
    }
  }
}

function write(program: Program, outcomes: Outcomes, row: number, s: number, traced: readonly Traced[]): void {
  const { accounts, entries, groups, grid, strategies, analysis } = program;
  const A = outcomes.accounts;
  const at = row * outcomes.strategies + s;
  const bearers = analysis.perspectives.find(({ name }) => name === analysis.perspective)?.bearers ?? null;
  const mixed = new Float64Array(A + 1);
  for (const [g, { discounted, lifeYears }] of traced.entries()) {
    const own = new Float64Array(A);
    for (const [e, { account, bearer }] of entries.entries()) {
      const foreign = bearer !== null && bearers !== null && !bearers.includes(bearer);
      if (accounts[account]!.isMoney && foreign) continue;
      for (let c = 0; c < grid.cycles; c++) own[account]! += discounted[e * grid.cycles + c]!;
    }
    for (const [a, total] of own.entries()) {
      if (!Number.isFinite(total)) {
        const where = `of account ${accounts[a]!.name}, strategy ${strategies[analysis.compare[s]!]!.id}, group ${groups[g]!.id}`;
        throw inputError(
          placeIn(program.model, ["accounts", accounts[a]!.name], true),
          "not-finite",
          String(total),
          where,
        );
      }
      mixed[a]! += groups[g]!.share * total;
      if (outcomes.byGroup !== null) outcomes.byGroup[(at * groups.length + g) * A + a] = total;
    }
    mixed[A]! += groups[g]!.share * lifeYears.reduce((sum, years) => sum + years, 0);
  }
  outcomes.totals.set(mixed.subarray(0, A), at * A);
  outcomes.lifeYears[at] = mixed[A]!;
}
