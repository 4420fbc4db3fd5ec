import { byCycle, byDraw, byGroup, operands, ranges } from "../compile/graph.ts";
import type { Transfer } from "../compile/plan.ts";
import type { PlainChecks } from "./plain-checks.ts";
import { type Region, regions } from "./tape.ts";
import type { View } from "./view.ts";

/** Regions of single numbers that vary with something. */
type SingleRegion = Region & ("cycle" | "group" | "groupCycle");

/** Demands on single numbers, and in which cycles they apply. */
export interface SingleChecks {
  readonly checks: PlainChecks["single"];
  applies(transfer: Transfer | null, cycle: number): boolean;
}

/** Numbers that serve all lanes: constants, and what varies with cycle and group alone. Each has a place of its own. */
export class SingleNumbers {
  readonly constants: number[] = [];
  /** Weights by cycle, which stand in the region of the cycle behind its nodes. */
  readonly weights: Float64Array[] = [];
  private readonly view: View;
  private readonly places = new Map<string, number>();
  private readonly lists: Record<SingleRegion, number[]> = {
    cycle: [],
    group: [],
    groupCycle: [],
  };

  constructor(view: View) {
    this.view = view;
  }

  /** The place of a constant. */
  constant(value: number): number {
    const key = Object.is(value, -0) ? "-0" : String(value);
    const known = this.places.get(key);
    if (known !== undefined) return known;
    const place = ((this.constants.push(value) - 1) << 3) | regions.constant;
    this.places.set(key, place);
    return place;
  }

  /** The place of a node that does not vary with the row. */
  node(node: number): number {
    const axes = this.view.axes[node]!;
    if ((axes & byDraw) !== 0) throw new Error(`node ${node} varies with the row`);
    if (axes === 0) return this.constant(this.view.constant(node));
    const region = axes === byCycle ? "cycle" : axes === byGroup ? "group" : "groupCycle";
    return this.placed(`node ${node}`, region, () => this.lists[region].push(node) - 1);
  }

  /** True where a node that does not vary with the row has a place. */
  has(node: number): boolean {
    return this.places.has(`node ${node}`);
  }

  /** The place of a factor per cycle. */
  weight(values: Float64Array, number: number): number {
    return this.placed(`weight ${number}`, "cycle", () => this.lists.cycle.push(-this.weights.push(values)) - 1);
  }

  /** How many numbers each region holds for one setting. */
  count(region: SingleRegion): number {
    return this.lists[region].length;
  }

  /**
   * Writes all values to a workspace: per cycle from `at.cycle`, per group from `at.group`, per group and cycle
   * `(group * (cycles + 1) + cycle)` from `at.groupCycle`. True where a check that applies in a cycle is not met.
   */
  write(
    m: Float64Array,
    at: Readonly<Record<"cycle" | "group" | "groupCycle", number>>,
    cycles: number,
    groups: number,
    check: SingleChecks,
  ): boolean {
    const { view, lists } = this;
    const placed = [...lists.cycle, ...lists.group, ...lists.groupCycle].filter((node) => node >= 0);
    const order = this.under([...placed, ...check.checks.map(({ node }) => node)]);
    const varying = (axes: number): readonly number[] => order.filter((node) => view.axes[node] === axes);
    const [constant, byGroupAlone, byCycleAlone, byBoth] = [0, byGroup, byCycle, byGroup | byCycle].map(varying) as [
      readonly number[],
      readonly number[],
      readonly number[],
      readonly number[],
    ];
    const now = new Float64Array(view.graph.nodes.length);
    const value = (node: number): number => now[node]!;
    const compute = (nodes: readonly number[], cycle: number, group: number): void => {
      for (const node of nodes) now[node] = view.scalar(node, cycle, group, value);
    };
    const put = (list: readonly number[], from: number, cycle: number): void => {
      for (const [k, node] of list.entries()) m[from + k] = node < 0 ? this.weights[-node - 1]![cycle]! : now[node]!;
    };
    const checks = check.checks.map(({ node, demand, transfer }) => {
      const [low, high] = ranges[demand];
      return { node, transfer, low, high, grouped: (view.axes[node]! & byGroup) !== 0 };
    });
    // what varies with the group alone, `[group][node]`
    const ofGroup: Float64Array[] = [];
    let unmet = false;
    compute(constant, 0, 0);
    for (let c = 0; c <= cycles; c++) {
      compute(byCycleAlone, c, 0);
      put(lists.cycle, at.cycle + c * lists.cycle.length, c);
      for (let g = 0; g < groups; g++) {
        if (c === 0) {
          compute(byGroupAlone, 0, g);
          put(lists.group, at.group + g * lists.group.length, c);
          ofGroup.push(Float64Array.from(byGroupAlone, value));
        } else for (const [k, node] of byGroupAlone.entries()) now[node] = ofGroup[g]![k]!;
        compute(byBoth, c, g);
        put(lists.groupCycle, at.groupCycle + (g * (cycles + 1) + c) * lists.groupCycle.length, c);
        for (const { node, transfer, low, high, grouped } of checks) {
          if (g > 0 && !grouped) continue;
          const found = now[node]!;
          // NaN meets nothing
          if (!(found >= low && found <= high) && check.applies(transfer, c)) unmet = true;
        }
      }
    }
    return unmet;
  }

  private under(roots: readonly number[]): readonly number[] {
    const { view } = this;
    const seen = new Set(roots);
    for (const number of seen) {
      const node = view.graph.nodes[number]!;
      const settled = node.op === "if" && view.axes[node.test] === 0;
      for (const operand of settled ? [node.test, view.taken(node)] : operands(node)) seen.add(operand);
    }
    return [...seen].sort((a, b) => a - b);
  }

  private placed(key: string, region: SingleRegion, add: () => number): number {
    const known = this.places.get(key);
    if (known !== undefined) return known;
    const place = (add() << 3) | regions[region];
    this.places.set(key, place);
    return place;
  }
}
