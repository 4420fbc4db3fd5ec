import { exactMoneyText, moneyText } from "./format.ts";
import type { OneWayAnswer, OneWayPair } from "./one-way.ts";
import type { TextTable } from "./table-text.ts";

/** How far one input by itself moves the net benefit of a pathway over the reference. */
export interface OneWayBar {
  readonly key: string;
  readonly label: string;
  /** The lowest and the highest net benefit, each with the value of the input that gives it. */
  readonly low: OneWayBarEnd;
  readonly high: OneWayBarEnd;
}

/** One end of a bar. */
export interface OneWayBarEnd {
  readonly text: string;
  readonly netBenefit: number;
}

/** Bars of one pathway at one threshold. */
export interface OneWayBars {
  /** At base values. */
  readonly base: number;
  /** The longest first. */
  readonly bars: readonly OneWayBar[];
}

const gain = (threshold: number, { deltaCost, deltaEffect }: OneWayPair): number => threshold * deltaEffect - deltaCost;

/** The net benefit of a pathway over the reference at a threshold, by input. */
export function oneWayBars(answer: OneWayAnswer, pathway: string, threshold: number): OneWayBars {
  const bars = answer.inputs.map(({ key, label, ends }): OneWayBar => {
    const found = ends.map(({ text, pairs }) => ({ text, netBenefit: gain(threshold, pairs[pathway]!) }));
    const sorted = found.toSorted((a, b) => a.netBenefit - b.netBenefit);
    return { key, label, low: sorted[0]!, high: sorted.at(-1)! };
  });
  const length = ({ low, high }: OneWayBar): number => high.netBenefit - low.netBenefit;
  return { base: gain(threshold, answer.base[pathway]!), bars: bars.sort((a, b) => length(b) - length(a)) };
}

/** The longest bars in a sentence, and how many inputs could turn the answer by themselves. */
export function oneWayHeadline({ base, bars }: OneWayBars, currency: string, called: string): string {
  const [first] = bars;
  if (first === undefined) return "No input is uncertain.";
  const turning = bars.filter(({ low, high }) => low.netBenefit < 0 !== high.netBenefit < 0).length;
  const money = (amount: number): string => `${moneyText(amount)} ${currency}`;
  const most = `${first.label} moves the net benefit of ${called} most: from ${money(first.low.netBenefit)} at ${first.low.text} to ${money(first.high.netBenefit)} at ${first.high.text}, where base values give ${money(base)}.`;
  if (turning === 0) return `${most} No input by itself turns the answer within its 95% interval.`;
  const which = turning === 1 ? "1 input" : `${turning} inputs`;
  return `${most} Within its 95% interval, ${which} of ${bars.length} could turn the answer ${turning === 1 ? "by itself" : "each by itself"}.`;
}

/** Bars as a table. */
export function oneWayTable({ bars }: OneWayBars): TextTable {
  return {
    header: ["Input", "Lowest net benefit", "at", "Highest net benefit", "at", "Swing"],
    rows: bars.map(({ label, low, high }) => [
      label,
      exactMoneyText(low.netBenefit),
      low.text,
      exactMoneyText(high.netBenefit),
      high.text,
      exactMoneyText(high.netBenefit - low.netBenefit),
    ]),
  };
}
