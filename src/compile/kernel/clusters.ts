import { type Alike, alikeIn, alikeInAll } from "../alike.ts";
import { byGroup } from "../graph.ts";
import { deepForm } from "./deep.ts";
import type { Lens } from "./lens.ts";

/** Groups in clusters, so that what all groups of a cluster share is computed once for them. */
export interface Clusters {
  readonly groups: readonly (readonly number[])[];
  /** True where a value is the same in all groups of each cluster. */
  shares(node: number): boolean;
}

/** Each cluster and group is called by instructions of its own, which more groups would make too many. */
const mostGroups = 64;

/** What must be saved a cycle and group, in operations, for it to be worth the calls and the values that wait. */
const leastSaved = 20;

/** Operations that a function over arrays, and a division, take about as long as. */
const deepCost = 25;
const divisionCost = 5;

/**
 * Finds clusters of groups: a value depends on some attributes of its group, and groups that have those in common share
 * it. A population crossed from few attributes has few different values of most things.
 */
export class ClusterSearch {
  private readonly lens: Lens;
  private readonly known: Alike[] = [];
  private readonly numbers = new Map<string, number>();
  private readonly joined = new Map<string, number>();
  private readonly byNode: number[] = [];

  constructor(lens: Lens) {
    this.lens = lens;
    this.number(lens.sight.groups.map(() => 0));
  }

  /** The clusters that save most of what the nodes, and all under them, take in a cycle; null where none save enough. */
  best(nodes: readonly number[]): Clusters | null {
    const count = this.lens.sight.groups.length;
    if (count < 2 || count > mostGroups) return null;
    const costs = this.costs(nodes);
    let found: number | null = null;
    let most = leastSaved;
    for (const candidate of costs.keys()) {
      let cost = 0;
      for (const [likeness, more] of costs) if (this.joint(candidate, likeness) === candidate) cost += more;
      const saved = cost * (1 - new Set(this.known[candidate]).size / count);
      if (saved <= most) continue;
      most = saved;
      found = candidate;
    }
    if (found === null) return null;
    const chosen = found;
    const groups = new Map<number, number[]>();
    for (const [group, first] of this.known[chosen]!.entries())
      groups.set(first, [...(groups.get(first) ?? []), group]);
    return { groups: [...groups.values()], shares: (node) => this.joint(chosen, this.of(node)) === chosen };
  }

  /** What is computed by cycle and group, by its likeness: the cost of each value once. */
  private costs(nodes: readonly number[]): ReadonlyMap<number, number> {
    const { lens } = this;
    const costs = new Map<number, number>();
    const seen = new Set<number>();
    const visit = (node: number): void => {
      if (seen.has(node) || !lens.isLate(node) || (lens.sight.axes[node]! & byGroup) === 0) return;
      seen.add(node);
      const cost = deepForm(lens, node) !== null ? deepCost : lens.op(node).op === "divide" ? divisionCost : 1;
      const likeness = this.of(node);
      costs.set(likeness, (costs.get(likeness) ?? 0) + cost);
      for (const operand of lens.operands(node)) visit(operand);
    };
    for (const node of nodes) visit(this.lens.node(node));
    return costs;
  }

  /** The number of the likeness of a node. */
  private of(number: number): number {
    const known = this.byNode[number];
    if (known !== undefined) return known;
    const { sight } = this.lens;
    const node = this.lens.op(number);
    let found = 0;
    if (node.op === "attribute")
      found = this.number(alikeIn(sight.groups.map((attributes) => attributes[node.attribute]!)));
    else if ((sight.axes[number]! & byGroup) !== 0)
      for (const operand of this.lens.operands(number)) found = this.joint(found, this.of(operand));
    this.byNode[number] = found;
    return found;
  }

  /** The likeness of groups that are alike in two ways at once. */
  private joint(one: number, other: number): number {
    if (one === other) return one;
    const key = `${Math.min(one, other)} ${Math.max(one, other)}`;
    const known = this.joined.get(key);
    if (known !== undefined) return known;
    const found = this.number(alikeInAll([this.known[one]!, this.known[other]!]));
    this.joined.set(key, found);
    return found;
  }

  private number(likeness: Alike): number {
    const key = likeness.join();
    const known = this.numbers.get(key);
    if (known !== undefined) return known;
    const number = this.known.push(likeness) - 1;
    this.numbers.set(key, number);
    return number;
  }
}
