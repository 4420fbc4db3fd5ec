import type { Program } from "../compile/program.ts";
import { Digester } from "../numerics/digest.ts";
import { CompensatedSum } from "../numerics/sum.ts";
import type { BlockPlaces, DrawBoard } from "./draw-board.ts";
import type { DrawOutcomes } from "./draw-outcomes.ts";
import { GroupTally } from "./group-tally.ts";
import type { StrategyDraws } from "./strategy-draws.ts";

/** All rows and outcomes of a run, for export. */
export interface KeptDraws {
  /** `[draw][component]`. */
  readonly rows: Float64Array;
  /** `[draw][compared strategy][account]`. */
  readonly totals: Float64Array;
}

/**
 * Sums up outcomes block by block in the order of the draws. Cost and effect of each strategy are kept draw by draw; of
 * everything else, sums that have the bits of sums over all draws at once.
 */
export class DrawTally {
  private readonly program: Program;
  private readonly draws: number;
  private readonly strategies: readonly StrategyDraws[];
  private readonly groups: readonly GroupTally[];
  private readonly accounts: readonly (readonly CompensatedSum[])[];
  private readonly lifeYears: readonly CompensatedSum[];
  private readonly digester = new Digester();
  private readonly kept: KeptDraws | null;

  constructor(program: Program, board: DrawBoard) {
    const { analysis, strategies, groups, accounts } = program;
    const { draws, kept } = board.shape;
    const ids = analysis.compare.map((s) => strategies[s]!.id);
    this.program = program;
    this.draws = draws;
    this.strategies = ids.map((id) => ({ id, cost: new Float64Array(draws), effect: new Float64Array(draws) }));
    this.groups = groups.map(() => new GroupTally(ids, analysis.thresholds));
    this.accounts = ids.map(() => accounts.map(() => new CompensatedSum()));
    this.lifeYears = ids.map(() => new CompensatedSum());
    this.kept =
      kept === 0 ? null : { rows: board.room(draws * kept), totals: board.room(draws * ids.length * accounts.length) };
  }

  /** Adds the next block. */
  add({ from, count, totals, lifeYears, groups, rows }: BlockPlaces): void {
    const { accounts, analysis, components } = this.program;
    const A = accounts.length;
    const S = this.strategies.length;
    this.digester.add(littleEndian(totals));
    for (const [s, { cost, effect }] of this.strategies.entries()) {
      for (const [a, sum] of this.accounts[s]!.entries())
        for (let k = 0; k < count; k++) sum.add(totals[(k * S + s) * A + a]!);
      const years = this.lifeYears[s]!;
      for (let k = 0; k < count; k++) {
        cost[from + k] = totals[(k * S + s) * A + analysis.cost]!;
        effect[from + k] = totals[(k * S + s) * A + analysis.effect]!;
        years.add(lifeYears[k * S + s]!);
      }
    }
    for (const [g, group] of this.groups.entries())
      group.add(this.strategies.map(({ id }, s) => ({ id, ...groups[g]![s]! })));
    this.kept?.totals.set(totals, from * S * A);
    this.kept?.rows.set(rows, from * components.length);
  }

  /** What all draws say. */
  outcomes(about: Pick<DrawOutcomes, "seed" | "design" | "randomisations">): {
    readonly outcomes: DrawOutcomes;
    readonly kept: KeptDraws | null;
  } {
    const { draws } = this;
    const outcomes = {
      draws,
      ...about,
      strategies: this.strategies,
      groups: this.groups.map((group) => group.summary()),
      accountMeans: this.accounts.map((sums) => sums.map((sum) => sum.total() / draws)),
      lifeYears: this.lifeYears.map((sum) => sum.total() / draws),
      outcomesHash: this.digester.digest(),
    };
    return { outcomes, kept: this.kept };
  }
}

/** The bytes of doubles, little-endian whatever the machine. */
function littleEndian(values: Float64Array): Uint8Array {
  const native = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  const first = new Uint8Array(Float64Array.of(1).buffer);
  if (first[7] === 0x3f) return native;
  const view = new DataView(new ArrayBuffer(values.byteLength));
  for (const [i, value] of values.entries()) view.setFloat64(8 * i, value, true);
  return new Uint8Array(view.buffer);
}
