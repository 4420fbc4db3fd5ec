import { BeyondTables } from "./beyond-tables.ts";
import type { Bound } from "./bound.ts";
import type { Demand, Graph } from "./graph.ts";
import type { Instances, When } from "./instances.ts";
import type { Program } from "./program.ts";
import type { JointState } from "./states.ts";

/** A guarded value that must meet its demand where there are people; `via` is a share of them, all where it is null. */
export interface Asked {
  readonly guard: number;
  readonly via: number | null;
}

/** Expressions as guarded nodes, with a list of what was demanded since it was last taken. */
export class Demands {
  readonly graph: Graph;
  private readonly instances: Instances;
  private readonly beyond: BeyondTables;
  private list: Asked[] = [];

  constructor(instances: Instances, program: Program) {
    this.instances = instances;
    this.graph = instances.graph;
    this.beyond = new BeyondTables(instances.graph, program.tables);
  }

  /** The node of an expression that must meet a demand and may ask no table beyond its rows. */
  value(demand: Demand, bound: Bound, who: JointState, when: When, via: number | null = null): number {
    const node = this.instances.value(bound, who, when);
    this.node("inside", this.beyond.of(node), via);
    return this.node(demand, node, via);
  }

  /** A node that must meet a demand. */
  node(demand: Demand, node: number, via: number | null = null): number {
    const guard = this.graph.guard(demand, node);
    if (this.graph.nodes[guard]!.op === "guard") this.list.push({ guard, via });
    return guard;
  }

  /** All demands since the last call, equal ones once. */
  taken(): readonly Asked[] {
    const seen = new Set<string>();
    const list = this.list.filter(({ guard, via }) => {
      const key = `${guard} ${via}`;
      return seen.size < seen.add(key).size;
    });
    this.list = [];
    return list;
  }
}
