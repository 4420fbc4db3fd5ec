import fc from "fast-check";
import type { StrategyDraws } from "../../src/analysis/strategy-draws.ts";

/** Draws that have these net benefits at every threshold: no effect, and the net benefit as a negative cost. */
export function fromNetBenefits(table: Readonly<Record<string, readonly number[]>>): StrategyDraws[] {
  return Object.entries(table).map(([id, values]) => ({
    id,
    cost: Float64Array.from(values, (v) => -v),
    effect: new Float64Array(values.length),
  }));
}

/** One to five strategies over the same 2 to 40 draws, with whole numbers so that ties are common. */
export const anyDraws: fc.Arbitrary<StrategyDraws[]> = fc
  .tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 2, max: 40 }))
  .chain(([strategies, draws]) => {
    const column = fc.array(fc.integer({ min: -6, max: 6 }), { minLength: draws, maxLength: draws });
    return fc.array(fc.tuple(column, column), { minLength: strategies, maxLength: strategies });
  })
  .map((list) =>
    list.map(([cost, effect], s) => ({
      id: `s${s}`,
      cost: Float64Array.from(cost),
      effect: Float64Array.from(effect),
    })),
  );
