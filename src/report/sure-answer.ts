import type { DrawOutcomes } from "../analysis/draw-outcomes.ts";
import type { Precision } from "../analysis/precision.ts";
import type { Program } from "../compile/program.ts";
import { capitalised, countText, effectText, moneyText, shareText, yearsText } from "./format.ts";
import { type SureFindings, sureFindings } from "./sure.ts";
import { wordsOf } from "./words.ts";
import { headlineThreshold } from "./worth.ts";

/** The answer to "How sure are we?". */
export interface SureAnswer extends SureFindings {
  readonly headline: string;
}

/** Everything the draws say about certainty, with a sentence. Needs at least two draws. */
export function sureAnswer(program: Program, outcomes: DrawOutcomes): SureAnswer {
  const findings = sureFindings(program, outcomes);
  return { headline: sureHeadline(program, findings), ...findings };
}

/** The best strategy, how often it is best, how wide its gain is, and whether the draws suffice. */
function sureHeadline(program: Program, answer: SureFindings): string {
  const words = wordsOf(program);
  const called = (id: string): string => program.strategies.find((one) => one.id === id)?.called ?? id;
  const threshold = headlineThreshold(program);
  const draws = countText(answer.draws);
  const [only] = answer.strategies;
  if (threshold === undefined || answer.strategies.length < 2 || only === undefined) {
    const cost =
      only === undefined
        ? ""
        : `${moneyText(only.cost.mean)} ${words.currency} (95% interval: ${moneyText(only.cost.low)} to ${moneyText(only.cost.high)})`;
    return `Over ${yearsText(program.analysis.horizonYears)}, ${called(only?.id ?? "")} costs ${cost} in ${draws} draws.`;
  }
  const at = answer.acceptability.thresholds.indexOf(threshold);
  const best = answer.acceptability.best[at]!;
  const share = answer.acceptability.frontier[at]!;
  const count = answer.strategies.length === 2 ? "the better of two" : `the best of ${answer.strategies.length}`;
  const sentences = [
    `At ${moneyText(threshold)} ${words.currency} per ${words.each}, ${called(best)} is ${count} in ${shareText(share)} of ${draws} draws`,
  ];
  const pair = answer.pairs.find(({ id }) => id === best) ?? answer.pairs[0];
  if (pair !== undefined) {
    const { deltaCost, deltaEffect } = pair;
    const cost = changeText(deltaCost, moneyText, words.currency, "costs", "saves");
    const effect = changeText(deltaEffect, effectText, words.effect, "yields", "gives up");
    sentences.push(`Against ${called(pair.against)}, ${called(pair.id)} ${cost} and ${effect}`);
    if (deltaEffect.low < 0 && deltaEffect.high > 0) sentences.push(`The interval of the gain includes no gain`);
  }
  const evpi = answer.evpi[at]!;
  sentences.push(
    `Deciding now risks a loss worth ${moneyText(evpi)} ${words.currency} per person, the most that further evidence can be worth`,
  );
  const verdict = answer.sufficiency.find((one) => one.threshold === threshold);
  if (verdict?.verdict === "more draws") {
    const needed = verdict.drawsNeeded === null ? "" : `: about ${moneyText(verdict.drawsNeeded)} would do`;
    sentences.push(`Run more draws to tell the best two apart${needed}`);
  }
  return `${sentences.map(capitalised).join(". ")}.`;
}

/** A difference with its interval: `costs 1,180 EUR more (95% interval: saves 40 to costs 1,600)`. */
function changeText(
  change: Precision,
  text: (amount: number) => string,
  unit: string,
  more: string,
  less: string,
): string {
  const signed = (amount: number): string => `${amount < 0 ? less : more} ${text(Math.abs(amount))}`;
  const [from, to] = change.high <= 0 ? [-change.high, -change.low] : [change.low, change.high];
  const interval = from >= 0 ? `${text(from)} to ${text(to)}` : `${signed(from)} to ${signed(to)}`;
  return `${signed(change.mean)} ${unit}${change.mean < 0 ? "" : " more"} (95% interval: ${interval})`;
}
