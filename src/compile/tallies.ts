import type { Count, Tally, Transfer } from "./plan.ts";

/** One tally for each account, weight and factor, numbered as they are first asked for. */
export class Tallies {
  readonly list: Tally[] = [];
  private readonly known = new Map<string, number>();

  /** The number of a tally. */
  number(account: number, weight: number, factor: number): number {
    const key = `${account} ${weight} ${factor}`;
    const known = this.known.get(key);
    if (known !== undefined) return known;
    const number = this.list.push({ weight, worth: [{ account, factor }] }) - 1;
    this.known.set(key, number);
    return number;
  }
}

/** Tallies with what each transfer counts in them. */
export interface Counted {
  readonly tallies: readonly Tally[];
  /** The transfers as given, to those with the numbers of `tallies`; those that are alike to one of them. */
  readonly transfers: ReadonlyMap<Transfer, Transfer>;
}

/** Puts tallies together that have the same weight and count the same in all transfers; drops those that count nothing. */
export function merged(tallies: readonly Tally[], transfers: Iterable<Transfer>): Counted {
  const all = [...new Set(transfers)];
  const contents = tallies.map(({ weight }) => [String(weight)]);
  for (const [t, { counts }] of all.entries()) {
    for (const { tally, terms } of counts) {
      const text = terms.map(({ coefficient, opening, closing }) => `${coefficient},${opening},${closing}`);
      contents[tally]!.push(`${t}: ${text.join(" ")}`);
    }
  }
  const first = new Map<string, number>();
  const list: Tally[] = [];
  const renumbered = contents.map((content, tally): number => {
    if (content.length === 1) return -1;
    const key = content.join("; ");
    const known = first.get(key);
    if (known !== undefined) {
      list[known] = { ...list[known]!, worth: [...list[known]!.worth, ...tallies[tally]!.worth] };
      return known;
    }
    const number = list.push(tallies[tally]!) - 1;
    first.set(key, number);
    return number;
  });
  const unlike = new Map<string, Transfer>();
  const renewed = all.map((transfer): readonly [Transfer, Transfer] => {
    const counts = new Map<number, Count>();
    for (const { tally, terms } of transfer.counts)
      counts.set(renumbered[tally]!, { tally: renumbered[tally]!, terms });
    const own = { ...transfer, counts: [...counts.values()] };
    // an event that fires every cycle brings the same transfer each time; evaluators make something of every one
    const key = JSON.stringify(own);
    const one = unlike.get(key) ?? own;
    unlike.set(key, one);
    return [transfer, one];
  });
  return { tallies: list, transfers: new Map(renewed) };
}
