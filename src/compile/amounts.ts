import type { Bound } from "./bound.ts";
import type { Demands } from "./demands.ts";
import { byCycle, type Graph } from "./graph.ts";
import type { When } from "./instances.ts";
import type { Branch, Posting, Program } from "./program.ts";
import type { JointState, Movement } from "./states.ts";

/** An amount in an account, a node. */
export interface Amount {
  readonly account: number;
  readonly node: number;
}

/**
 * What cases and years are worth in each account as one perspective sees it: of money its bearers' entries and those
 * without a bearer, of all else everything.
 */
export class Amounts {
  private readonly program: Program;
  private readonly movement: Movement;
  private readonly demands: Demands;
  private readonly postings: readonly Posting[];

  constructor(program: Program, movement: Movement, demands: Demands, bearers: readonly string[] | null) {
    this.program = program;
    this.movement = movement;
    this.demands = demands;
    const counted = program.entries.map(
      ({ account, bearer }) =>
        !program.accounts[account]!.isMoney || bearer === null || bearers === null || bearers.includes(bearer),
    );
    this.postings = program.postings.filter(
      (posting) => counted[posting.entry]! && (posting.by === "resource" || posting.strategies[movement.strategy]!),
    );
  }

  /** Per case that passed these branches. Demanded where the share `via` is not 0. */
  perCase(branches: readonly Branch[], who: JointState, when: When, via: number | null): readonly Amount[] {
    const { graph } = this.demands;
    const sums = new Map<string, Amount>();
    const value = (bound: Bound): number => this.demands.value("finite", bound, who, when, via);
    for (const branch of branches) {
      for (const use of branch.uses) {
        for (const posting of this.postings) {
          if (posting.by !== "resource" || posting.resource !== use.resource) continue;
          const amount = graph.two("multiply", value(use.amount), value(this.program.resources[use.resource]!.price));
          this.add(sums, posting, amount);
        }
      }
      for (const posting of this.postings) {
        if (posting.by === "event" && posting.path === branch.path && this.movement.admits(posting.match, who))
          this.add(sums, posting, value(posting.amount));
      }
    }
    return [...sums.values()];
  }

  /** Per year lived in a joint state, by lines over time. */
  perYear(who: JointState, when: When): readonly Amount[] {
    const sums = new Map<string, Amount>();
    for (const posting of this.postings) {
      if (posting.by === "time" && this.movement.admits(posting.match, who))
        this.add(sums, posting, this.demands.value("finite", posting.amount, who, when));
    }
    return [...sums.values()];
  }

  /** Adds to what an account has; what varies with the cycle is kept apart from what does not. */
  private add(sums: Map<string, Amount>, posting: Posting, amount: number): void {
    const { graph } = this.demands;
    if (graph.valueOf(amount) === 0) return;
    const { account } = this.program.entries[posting.entry]!;
    const key = `${account} ${isSteady(graph, amount)}`;
    const before = sums.get(key);
    sums.set(key, { account, node: before === undefined ? amount : graph.two("add", before.node, amount) });
  }
}

/** True where a node is the same in all cycles. */
export function isSteady(graph: Graph, node: number): boolean {
  return (graph.axes[node]! & byCycle) === 0;
}
