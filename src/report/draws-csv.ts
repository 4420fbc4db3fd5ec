import type { Program } from "../compile/program.ts";

/** The rows and outcomes of a probabilistic run. */
export interface DrawTable {
  readonly draws: number;
  /** `[draw][component]`, in the model's base units. */
  readonly rows: Float64Array;
  /** `[draw][compared strategy][account]`, discounted, groups mixed. */
  readonly outcomes: Float64Array;
}

/** Lines of a CSV of draws: number of the draw, every drawn input by its key, every account of every strategy. */
export function* drawLines(program: Program, table: DrawTable): Generator<string> {
  const { components, accounts, analysis, strategies } = program;
  const drawn = components.flatMap((component, i) => (component.reported.form === "fixed" ? [] : [i]));
  const columns = analysis.compare.flatMap((s) => accounts.map((account) => `${account.name}.${strategies[s]!.id}`));
  yield `${["draw", ...drawn.map((i) => components[i]!.key), ...columns].join(",")}\n`;
  for (let k = 0; k < table.draws; k++) {
    const inputs = drawn.map((i) => table.rows[k * components.length + i]!);
    const outcomes = table.outcomes.subarray(k * columns.length, (k + 1) * columns.length);
    yield `${[k, ...inputs, ...outcomes].join(",")}\n`;
  }
}
