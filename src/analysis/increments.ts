import { frontier } from "./frontier.ts";
import { highestNetBenefit } from "./net-benefit.ts";
import type { CostAndEffect } from "./pairwise.ts";

/** An option to be ranked: expected cost (money) and expected effect (units of effect) under a unique id. */
export interface Option extends CostAndEffect {
  readonly id: string;
}

/** Where an option stands once all are compared together. */
type IncrementStatus = "frontier" | "dominated" | "extendedly dominated" | "equal";

/** One line of the incremental analysis. */
export interface Increment extends Option {
  readonly status: IncrementStatus;
  /** Cost minus that of `against`, in money; 0 for the first frontier member, which has nothing below it. */
  readonly deltaCost: number;
  /** Effect minus that of `against`, in units of effect; 0 for the first frontier member. */
  readonly deltaEffect: number;
  /** Money per unit of effect against the frontier member below; null for the first member and off the frontier. */
  readonly icer: number | null;
  /**
   * The option this one is measured against: on the frontier the member below (null for the first), for a dominated
   * option the cheapest frontier member that dominates it (or, where none does, another option that does), for an
   * extendedly dominated one the frontier member below it, for an equal one the earlier option it repeats.
   */
  readonly against: string | null;
  /** For an extendedly dominated option the frontier members below and above, whose mix beats it; otherwise null. */
  readonly between: readonly [string, string] | null;
}

/**
 * The incremental analysis of all options together: frontier members from least to most effect, then the others in
 * the order given.
 *
 * Differences below 1e-9 of the larger magnitude count as equal: of two options with equal effect the dearer is
 * dominated, and of two equal in both the first given is kept and the later one is "equal", whatever becomes of the
 * first. Ratios exist along the frontier only and rise strictly.
 * @param options finite costs and effects under unique ids; an empty list gives an empty answer
 * @example increments([{ id: "a", cost: 0, effect: 1 }, { id: "b", cost: 10, effect: 2 }]).at(1)?.icer // 10
 */
export function increments(options: readonly Option[]): readonly Increment[] {
  checkOptions(options);
  const { members, equalTo, dominatedBy, mixedBy } = frontier(options);
  const name = (i: number): Option => {
    const option = options.at(i);
    if (option === undefined) throw new Error(`no option ${i} in a list of ${options.length}`);
    return option;
  };

  const along = members.map((i, place) => {
    const below = members[place - 1];
    return line(name(i), "frontier", below === undefined ? null : name(below));
  });
  const others: Increment[] = [];
  for (const [i, option] of options.entries()) {
    const original = equalTo.get(i);
    const better = dominatedBy.get(i);
    const mix = mixedBy.get(i);
    if (original !== undefined) others.push(line(option, "equal", name(original)));
    else if (better !== undefined) others.push(line(option, "dominated", name(better)));
    else if (mix !== undefined) {
      const [below, above] = [name(mix[0]), name(mix[1])];
      others.push({ ...line(option, "extendedly dominated", below), between: [below.id, above.id] });
    }
  }
  return [...along, ...others];
}

/**
 * The frontier member to choose at a threshold: the one of most effect whose ratio is below it.
 *
 * At a threshold equal to a ratio two members are tied and the cheaper is returned, as `highestNetBenefit` would. No
 * option has a higher expected net benefit, up to the tolerance of the frontier.
 * @param lines the result of `increments`, with at least one line
 * @param threshold money per unit of effect, 0 or more
 * @example bestAt(increments([{ id: "a", cost: 0, effect: 1 }, { id: "b", cost: 10, effect: 2 }]), 9).id // "a"
 */
export function bestAt(lines: readonly Increment[], threshold: number): Increment {
  const members = lines.filter((l) => l.status === "frontier");
  return highestNetBenefit(members, threshold);
}

function line(option: Option, status: IncrementStatus, against: Option | null): Increment {
  const { id, cost, effect } = option;
  const deltaCost = against === null ? 0 : cost - against.cost;
  const deltaEffect = against === null ? 0 : effect - against.effect;
  const icer = status === "frontier" && against !== null ? deltaCost / deltaEffect : null;
  return { id, status, cost, effect, deltaCost, deltaEffect, icer, against: against?.id ?? null, between: null };
}

function checkOptions(options: readonly Option[]): void {
  const ids = new Set<string>();
  for (const { id, cost, effect } of options) {
    if (!Number.isFinite(cost) || !Number.isFinite(effect)) {
      throw new Error(`option "${id}" has cost ${cost} and effect ${effect}; both must be finite`);
    }
    if (ids.has(id)) throw new Error(`option "${id}" is given twice`);
    ids.add(id);
  }
}
