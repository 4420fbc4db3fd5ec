import type { StrategyResult } from "../analysis/base-case.ts";
import type { DrawOutcomes } from "../analysis/draw-outcomes.ts";
import { bestAt, type Increment, increments } from "../analysis/increments.ts";
import { netHealthBenefit, netMonetaryBenefit } from "../analysis/net-benefit.ts";
import { comparePair, type PairKind } from "../analysis/pairwise.ts";
import { expectations } from "../analysis/strategy-draws.ts";
import { accountTotal, lifeYears } from "../analysis/totals.ts";
import type { Program } from "../compile/program.ts";
import type { Traced } from "../engine/traced.ts";
import { capitalised, effectText, listText, moneyText, yearsText } from "./format.ts";
import { pairText, wordsOf } from "./words.ts";

/** Cost and effect of a strategy per starter, discounted; net benefits by threshold. */
export interface WorthStrategy {
  readonly id: string;
  readonly label: string;
  readonly cost: number;
  readonly effect: number;
  readonly lifeYears: number;
  readonly effects: Readonly<Record<string, number>>;
  readonly netBenefit: Readonly<Record<string, number>>;
  readonly netHealthBenefit: Readonly<Record<string, number>>;
}

/** A strategy against the reference, by quadrant. */
export interface WorthPair {
  readonly id: string;
  readonly against: string;
  readonly kind: PairKind;
  readonly words: string;
  readonly deltaCost: number;
  readonly deltaEffect: number;
  readonly ratio: number | null;
}

/** The incremental analysis of one perspective and population. */
export interface WorthPart {
  readonly strategies: readonly WorthStrategy[];
  readonly increments: readonly Increment[];
  readonly pairs: readonly WorthPair[];
  /** The best strategy at each threshold. */
  readonly best: Readonly<Record<string, string>>;
}

/** The answer to "Is it worth it?". */
export interface WorthAnswer extends WorthPart {
  readonly headline: string;
  readonly basis: "base" | "probabilistic";
  readonly perspective: string;
  readonly thresholds: readonly number[];
  readonly base: WorthPart;
  readonly byGroup: readonly (WorthPart & { readonly group: string; readonly label: string; readonly share: number })[];
  readonly byPerspective: readonly (WorthPart & { readonly perspective: string })[];
  /** Cost and effect by then, from one trace; null where the counting rule has no meaning before the horizon. */
  readonly byHorizon: readonly (WorthPart & { readonly years: number })[] | null;
}

/** The key of a threshold in result documents. */
export const thresholdKey = (threshold: number): string => String(threshold);

/** One strategy's totals from a trace. */
export function worthStrategy(
  program: Program,
  result: StrategyResult,
  traced: Traced,
  perspective: string,
  cycles: number = program.grid.cycles,
): WorthStrategy {
  const { analysis } = program;
  const cost = accountTotal(program, traced, analysis.cost, perspective, "discounted", cycles);
  const effect = accountTotal(program, traced, analysis.effect, perspective, "discounted", cycles);
  const others = program.accounts.filter((account) => !account.isMoney);
  return {
    id: result.id,
    label: result.label,
    cost,
    effect,
    lifeYears: lifeYears(program, traced, cycles),
    effects: Object.fromEntries(
      others.map((account) => [
        account.name,
        accountTotal(program, traced, account.index, perspective, "discounted", cycles),
      ]),
    ),
    ...netBenefits(analysis.thresholds, cost, effect),
  };
}

/** Net monetary and health benefit at each threshold; a threshold of 0 has no net health benefit. */
export function netBenefits(
  thresholds: readonly number[],
  cost: number,
  effect: number,
): Pick<WorthStrategy, "netBenefit" | "netHealthBenefit"> {
  return {
    netBenefit: Object.fromEntries(
      thresholds.map((threshold) => [thresholdKey(threshold), netMonetaryBenefit(threshold, cost, effect)]),
    ),
    netHealthBenefit: Object.fromEntries(
      thresholds
        .filter((threshold) => threshold > 0)
        .map((threshold) => [thresholdKey(threshold), netHealthBenefit(threshold, cost, effect)]),
    ),
  };
}

/** The incremental analysis of strategies whose totals are known. */
export function worthPart(program: Program, strategies: readonly WorthStrategy[]): WorthPart {
  const words = wordsOf(program);
  const lines = increments(strategies.map(({ id, cost, effect }) => ({ id, cost, effect })));
  const reference = strategies.find(({ id }) => id === program.strategies[program.analysis.reference]!.id)!;
  const pairs = strategies
    .filter(({ id }) => id !== reference.id)
    .map((strategy): WorthPair => {
      const pair = comparePair(strategy, reference);
      return { id: strategy.id, against: reference.id, ...pair, words: pairText(pair, words) };
    });
  const best = Object.fromEntries(
    program.analysis.thresholds.map((threshold) => [thresholdKey(threshold), bestAt(lines, threshold).id]),
  );
  return { strategies, increments: lines, pairs, best };
}

/** The answer from base values. */
export function worthFromBase(program: Program, results: readonly StrategyResult[]): WorthAnswer {
  const { analysis, grid } = program;
  const part = (
    pick: (result: StrategyResult) => Traced,
    perspective = analysis.perspective,
    cycles = grid.cycles,
  ): WorthPart =>
    worthPart(
      program,
      results.map((result) => worthStrategy(program, result, pick(result), perspective, cycles)),
    );
  const base = part(({ mixed }) => mixed);
  const years = [1, 3, 5, 10, 20].filter((one) => one < analysis.horizonYears - 1e-9);
  return {
    headline: worthHeadline(program, base),
    basis: "base",
    perspective: analysis.perspective,
    thresholds: analysis.thresholds,
    ...base,
    base,
    byGroup: program.groups.map((group) => ({
      group: group.id,
      label: group.label,
      share: group.share,
      ...part(({ groups }) => groups[group.index]!),
    })),
    byPerspective: analysis.perspectives.map(({ name }) => ({
      perspective: name,
      ...part(({ mixed }) => mixed, name),
    })),
    byHorizon:
      analysis.counting.rule === "boundary"
        ? null
        : [...years, analysis.horizonYears].map((one) => ({
            years: one,
            ...part(({ mixed }) => mixed, analysis.perspective, Math.round(one * grid.cyclesPerYear)),
          })),
  };
}

/** The middle one of the scenario's thresholds, by which headlines judge; undefined without thresholds. */
export function headlineThreshold(program: Program): number | undefined {
  const { thresholds } = program.analysis;
  return thresholds[Math.floor((thresholds.length - 1) / 2)];
}

/** A sentence a payer could quote: what the best strategy costs and yields against its neighbour on the frontier. */
export function worthHeadline(program: Program, part: WorthPart): string {
  const words = wordsOf(program);
  const label = (id: string | null): string =>
    program.strategies.find((strategy) => strategy.id === id)?.called ?? String(id);
  const over = `Over ${yearsText(program.analysis.horizonYears)}`;
  const [only] = part.strategies;
  if (part.strategies.length === 1 && only !== undefined) {
    return `${over} ${label(only.id)} costs ${moneyText(only.cost)} ${words.currency} and yields ${effectText(only.effect)} ${words.effect} per person.`;
  }
  const threshold = headlineThreshold(program);
  const best = threshold === undefined ? undefined : bestAt(part.increments, threshold);
  const sentences: string[] = [];
  const reference = program.strategies[program.analysis.reference]!.id;
  const shown =
    best === undefined || best.id === reference ? part.pairs[0] : part.pairs.find(({ id }) => id === best.id);
  if (shown !== undefined)
    sentences.push(
      `${over} ${label(shown.id)} ${shown.words} than ${label(shown.against)}`.replace(
        / than (?=\S)/,
        shown.kind === "equal" ? " as " : againstWord(shown.words),
      ),
    );
  if (best !== undefined && threshold !== undefined) {
    const count = part.strategies.length === 2 ? "the better of two" : `the best of ${part.strategies.length}`;
    sentences.push(`At ${moneyText(threshold)} ${words.currency} per ${words.each} ${label(best.id)} is ${count}`);
  }
  const dominated = part.increments.filter(({ status }) => status === "dominated").map(({ id }) => label(id));
  const mixed = part.increments.filter(({ status }) => status === "extendedly dominated").map(({ id }) => label(id));
  if (dominated.length > 0)
    sentences.push(
      `${capitalised(listText(dominated))} ${dominated.length > 1 ? "are" : "is"} dominated: another pathway yields as much or more for less`,
    );
  if (mixed.length > 0)
    sentences.push(
      `${capitalised(listText(mixed))} ${mixed.length > 1 ? "are" : "is"} extendedly dominated by a mix of two others`,
    );
  return `${sentences.map(capitalised).join(". ")}.`;
}

/** Sentences with a comparative end in "than"; those with a ratio name the other strategy in brackets. */
function againstWord(words: string): string {
  return /, .* (gained|given up)$/.test(words) ? ", compared with " : " than ";
}

/** The answer from draws: means over draws decide, the base case stands beside them. */
export function worthFromDraws(program: Program, base: WorthAnswer, outcomes: DrawOutcomes): WorthAnswer {
  const { analysis } = program;
  const { effect } = analysis;
  const label = (id: string): string => base.strategies.find((one) => one.id === id)?.label ?? id;
  const strategies = expectations(outcomes.strategies).map(({ id, cost, effect: yielded }, k): WorthStrategy => {
    const means = outcomes.accountMeans[k]!;
    const others = program.accounts.filter((account) => !account.isMoney);
    return {
      id,
      label: label(id),
      cost,
      effect: yielded,
      lifeYears: outcomes.lifeYears[k]!,
      effects: Object.fromEntries(
        others.map((account) => [account.name, account.index === effect ? yielded : means[account.index]!]),
      ),
      ...netBenefits(analysis.thresholds, cost, yielded),
    };
  });
  const part = worthPart(program, strategies);
  const byGroup = base.byGroup.map((group, g) => {
    const means = outcomes.groups[g]!.expected;
    const inner = group.strategies.map((one, k) => {
      const { cost, effect: yielded } = means[k]!;
      const name = program.accounts[effect]!.name;
      return {
        ...one,
        cost,
        effect: yielded,
        effects: { ...one.effects, [name]: yielded },
        ...netBenefits(analysis.thresholds, cost, yielded),
      };
    });
    return { ...group, ...worthPart(program, inner) };
  });
  const headline = `${worthHeadline(program, part)}${disagreement(program, part, base)}`;
  return { ...base, headline, basis: "probabilistic", ...part, byGroup };
}

/** A sentence where base case and draws choose differently at the headline's threshold. */
function disagreement(program: Program, part: WorthPart, base: WorthPart): string {
  const threshold = headlineThreshold(program);
  if (threshold === undefined) return "";
  const key = thresholdKey(threshold);
  const other = base.best[key];
  if (other === undefined || other === part.best[key]) return "";
  const called = program.strategies.find(({ id }) => id === other)?.called ?? other;
  return ` The base case alone would choose ${called}; the means over draws decide.`;
}
