import type { GroupDraws } from "./group-tally.ts";
import type { StrategyDraws } from "./strategy-draws.ts";

/** The outcomes of a probabilistic run: one world per draw, the same in every strategy. */
export interface DrawOutcomes {
  readonly draws: number;
  readonly seed: string;
  readonly design: "plain" | "stratified" | "quasi";
  /** Number of independent randomisations, to which draws are dealt in turn; 1 for plain draws. */
  readonly randomisations: number;
  /** Cost and effect of each compared strategy, groups mixed. */
  readonly strategies: readonly StrategyDraws[];
  /** What is kept of each group, in the order of the groups. */
  readonly groups: readonly GroupDraws[];
  /** Mean over draws of every account, `[compared strategy][account]`. */
  readonly accountMeans: readonly (readonly number[])[];
  /** Mean undiscounted years lived, per compared strategy. */
  readonly lifeYears: readonly number[];
  /** SHA-256 of the outcomes as float64 little-endian, `[draw][compared strategy][account]`. */
  readonly outcomesHash: string;
}
