import { incompleteBeta } from "../special/incomplete-beta.ts";
import { logitTable } from "../special/inverse-incomplete-beta.ts";
import { logistic } from "../special/logit.ts";
import type { ScoreTable } from "../special/score-table.ts";
import { compensatedSum } from "../sum.ts";
import { beta } from "./beta.ts";
import type { Distribution } from "./distribution.ts";
import { requireNotNegative, requireProbability } from "./requirement.ts";

/** Joint law of shares that sum to 1. */
export interface Dirichlet {
  readonly alphas: readonly number[];
  readonly means: readonly number[];
  /** Standard deviation of each share. */
  readonly sds: readonly number[];
  /** Law of one share alone: beta(alpha, total - alpha). */
  readonly marginal: (cell: number) => Distribution;
  /**
   * Writes the n shares to `target` from uniforms in (0, 1), one for each cell but the last; the uniform of a cell of
   * alpha 0 (a structural zero, whose share is 0) or of the last cell above 0 is not looked at. Each piece broken off
   * and what it leaves have a relative error of at most 1e-9.
   */
  readonly shares: (uniforms: ArrayLike<number>, target: Float64Array) => void;
}

/**
 * Dirichlet law by stick-breaking: in cell order, each share is a beta(alpha_i, sum of the later alphas) piece of what
 * the cells before it left. A share rises with its own uniform. Throws where an alpha is negative or none is above 0.
 * Source: Devroye, Non-Uniform Random Variate Generation (Springer 1986) XI.4, from memory, with inverses for the betas.
 */
export function dirichlet(alphas: readonly number[]): Dirichlet {
  for (const alpha of alphas) requireNotNegative("alpha", alpha);
  const total = compensatedSum(alphas);
  if (!(total > 0)) throw new Error("Dirichlet law with no alpha above 0");
  // laterSums[i] is the sum of the alphas after cell i
  const laterSums = alphas.map((_, i) => compensatedSum(alphas.slice(i + 1)));
  const last = laterSums.indexOf(0);
  const pieces = alphas.map((alpha, i): ScoreTable | undefined =>
    alpha > 0 && i < last ? logitTable(incompleteBeta(alpha, laterSums[i]!), alpha, laterSums[i]!) : undefined,
  );
  return {
    alphas,
    means: alphas.map((alpha) => alpha / total),
    sds: alphas.map((alpha) => Math.sqrt(((alpha / total) * ((total - alpha) / total)) / (total + 1))),
    marginal: (cell) => beta(alphas[cell]!, compensatedSum(alphas.filter((_, i) => i !== cell))),
    shares: (uniforms, target) => {
      let left = 1;
      for (let i = 0; i < pieces.length; i++) {
        const piece = pieces[i];
        if (piece === undefined) {
          target[i] = i === last ? left : 0;
          continue;
        }
        const u = uniforms[i]!;
        requireProbability(u);
        const odds = piece.at(u, 1 - u);
        target[i] = left * logistic(odds);
        left *= logistic(-odds);
      }
    },
  };
}
