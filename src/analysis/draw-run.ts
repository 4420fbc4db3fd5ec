import { type Prepared, rowBlocks } from "../engine/rows.ts";
import { type Sampler, sampleRows } from "../engine/sample.ts";
import type { Design } from "../numerics/designs/design.ts";
import { plain } from "../numerics/designs/plain.ts";
import { quasi } from "../numerics/designs/quasi.ts";
import { stratified } from "../numerics/designs/stratified.ts";
import { digest } from "../numerics/digest.ts";
import { mean } from "../numerics/moments.ts";
import type { DrawOutcomes } from "./draw-outcomes.ts";

/** How uniforms are laid out over draws. */
export type DesignName = Design["name"];

/** What to draw. */
export interface DrawPlan {
  readonly draws: number;
  readonly seed: string;
  readonly design: DesignName;
  /** Whether the rows of inputs are kept, for export. */
  readonly keepRows: boolean;
  /** Rows evaluated together; no number depends on it. */
  readonly blockRows?: number;
}

/** The outcomes of draws, with their table. */
export interface DrawRun {
  readonly outcomes: DrawOutcomes;
  /** `[draw][component]` where kept, else empty. */
  readonly rows: Float64Array;
  /** `[draw][compared strategy][account]`. */
  readonly totals: Float64Array;
}

const chunkDraws = 16_384;

/** The design of a plan. Stratified and quasi designs need at least 16 draws. */
export function designOf(plan: DrawPlan): Design {
  const { seed, draws } = plan;
  if (plan.design === "plain") return plain(seed, draws);
  return plan.design === "quasi" ? quasi(seed, draws) : stratified(seed, draws);
}

/** Samples and evaluates all draws; yields the number of draws done after each block. */
export function* drawRun(sampler: Sampler, prepared: Prepared, plan: DrawPlan): Generator<number, DrawRun> {
  const { program } = prepared;
  const { draws } = plan;
  const { analysis, accounts, groups, components, strategies } = program;
  const design = designOf(plan);
  const [S, A, G] = [analysis.compare.length, accounts.length, groups.length];
  const totals = new Float64Array(draws * S * A);
  const lifeYears = new Float64Array(draws * S);
  const rows = new Float64Array(plan.keepRows ? draws * components.length : 0);
  // cost and effect of each group, [group][strategy] columns of all draws
  const columns = groups.map(() =>
    analysis.compare.map((s) => ({
      id: strategies[s]!.id,
      cost: new Float64Array(draws),
      effect: new Float64Array(draws),
    })),
  );
  for (let from = 0; from < draws; from += chunkDraws) {
    const to = Math.min(draws, from + chunkDraws);
    const sampled = sampleRows(sampler, design, from, to);
    if (plan.keepRows) rows.set(sampled, from * components.length);
    const steps = rowBlocks(prepared, sampled, {
      byGroup: true,
      firstDraw: from,
      ...(plan.blockRows === undefined ? {} : { blockRows: plan.blockRows }),
    });
    let step = steps.next();
    while (!step.done) {
      yield from + step.value;
      step = steps.next();
    }
    const part = step.value;
    totals.set(part.totals, from * S * A);
    lifeYears.set(part.lifeYears, from * S);
    for (let k = from; k < to; k++) {
      for (let s = 0; s < S; s++) {
        for (let g = 0; g < G; g++) {
          const at = (((k - from) * S + s) * G + g) * A;
          columns[g]![s]!.cost[k] = part.byGroup![at + analysis.cost]!;
          columns[g]![s]!.effect[k] = part.byGroup![at + analysis.effect]!;
        }
      }
    }
  }
  const column = (s: number, a: number): Float64Array =>
    Float64Array.from({ length: draws }, (_, k) => totals[(k * S + s) * A + a]!);
  const outcomes: DrawOutcomes = {
    draws,
    seed: plan.seed,
    design: plan.design,
    randomisations: design.randomisations,
    strategies: analysis.compare.map((index, s) => ({
      id: strategies[index]!.id,
      cost: column(s, analysis.cost),
      effect: column(s, analysis.effect),
    })),
    groups: columns,
    accountMeans: analysis.compare.map((_, s) => accounts.map((_account, a) => mean(column(s, a)))),
    lifeYears: analysis.compare.map((_, s) =>
      mean(Float64Array.from({ length: draws }, (_unused, k) => lifeYears[k * S + s]!)),
    ),
    outcomesHash: digest(littleEndian(totals)),
  };
  return { outcomes, rows, totals };
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
