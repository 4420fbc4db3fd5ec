import type { Draft, Section } from "./draft.ts";
import { number, share, type Wanted, wantedKey, yearlyCost } from "./quantities.ts";
import { randomSource } from "./sources.ts";

/**
 * Two new inputs of one kind whose draws hang together, in an order or correlated; later expressions may read them.
 * Returns what the scenario says of the two.
 */
export function newPair(draft: Draft): Section {
  const { dice } = draft;
  const wanted = dice.one([number, yearlyCost, share]);
  const span = wanted.high - wanted.low;
  const [low, high] = [0.25, 0.55].map((part) =>
    newInput(draft, wanted, wanted.low + span * (part + dice.below(20) / 100)),
  );
  if (dice.chance(40)) return { ordered: [[low!.name, high!.name]] };
  const source = dice.chance(50) ? { source: randomSource(draft) } : {};
  const inputs = [low!.name, high!.name];
  if (wanted === number && dice.chance(60)) {
    const [a, b] = [low!.se, high!.se];
    const matrix = [
      [a * a, 0.3 * a * b],
      [0.3 * a * b, b * b],
    ];
    return { correlated: [{ inputs, matrix, is: "covariance", ...source }] };
  }
  const matrix = [
    [1, -0.4],
    [-0.4, 1],
  ];
  return {
    correlated: [
      { inputs, matrix, ...dice.one<Section>([{}, { is: "normal scores" }, { is: "spearman" }]), ...source },
    ],
  };
}

function newInput(draft: Draft, wanted: Wanted, mean: number): { readonly name: string; readonly se: number } {
  const name = draft.name(wanted.is);
  const se = Number(((wanted.high - wanted.low) / draft.dice.whole(15, 30)).toPrecision(3));
  const unit = wanted.unit === "" ? {} : { in: wanted.unit.replace("$", draft.currency) };
  draft.declared[name] = { is: wanted.is, ...wanted.declared };
  draft.evidence[name] = { mean: Number(mean.toPrecision(3)), se, ...unit, source: "invented" };
  const input = { byStrategy: false, strategies: draft.strategies, cells: null, fixed: false };
  draft.inputs.push({ name, key: wantedKey(wanted), ...input });
  return { name, se };
}
