import type { PairComparison } from "../analysis/pairwise.ts";
import type { Program } from "../compile/program.ts";
import { effectText, moneyText } from "./format.ts";

/** How money and the effect are named in sentences. */
export interface Words {
  readonly currency: string;
  /** `QALY`, `life years`, … */
  readonly effect: string;
  /** One unit of it, after "for each". */
  readonly each: string;
}

/** The words of a program's money and effect. */
export function wordsOf(program: Program): Words {
  const account = program.accounts[program.analysis.effect]!;
  const currency = program.analysis.currency;
  if (account.unit === "QALY") return { currency, effect: "QALY", each: "QALY" };
  const name = account.label.toLowerCase();
  return { currency, effect: name, each: name.replace(/s$/, "") };
}

/**
 * One strategy against another in words by quadrant; a ratio only where it has a meaning.
 * @example pairText({ kind: "dominates", deltaCost: -10, deltaEffect: 1, ratio: null }, words) // "saves 10 EUR and yields 1.000 QALY more"
 */
export function pairText(pair: PairComparison, words: Words): string {
  const cost = Math.abs(pair.deltaCost);
  const effect = Math.abs(pair.deltaEffect);
  const money = `${moneyText(cost)} ${words.currency}`.trim();
  const yields = `${effectText(effect)} ${words.effect}`;
  const saves = pair.deltaCost <= 0;
  switch (pair.kind) {
    case "dominates":
      if (money.startsWith("0")) return `costs the same and yields ${yields} more`;
      return effect < 5e-5 ? `saves ${money} and yields as much` : `saves ${money} and yields ${yields} more`;
    case "is dominated":
      if (effect < 5e-5) return `costs ${money} more and yields no more`;
      return saves ? `saves nothing and yields ${yields} less` : `costs ${money} more and yields ${yields} less`;
    case "costs more and yields more":
      return `costs ${money} more and yields ${yields} more, ${moneyText(pair.ratio ?? 0)} for each ${words.each} gained`;
    case "costs less and yields less":
      return `saves ${money} and yields ${yields} less, a saving of ${moneyText(pair.ratio ?? 0)} for each ${words.each} given up`;
    case "equal":
      return "costs and yields the same";
  }
}
