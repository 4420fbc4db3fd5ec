import type { InstantStep, Plan, Segment, Transfer } from "../plan.ts";
import type { Addresses } from "./addresses.ts";
import { Code } from "./code.ts";
import type { Workspace } from "./frame.ts";
import { parameters } from "./ground.ts";
import type { Functions } from "./module.ts";
import type { Passage } from "./passage.ts";

/**
 * The functions of a transfer: what all groups share, what each of the clusters shares, if anything, and what one group
 * does; cycles they take at once.
 */
export interface Steps {
  readonly shared: number | null;
  readonly alike: number | null;
  readonly clusters: readonly (readonly number[])[];
  readonly own: number;
  readonly cycles: number;
}

/** Emits what takes one pair of lanes from the start to the end of the plan. */
export class Driver {
  private readonly plan: Plan;
  private readonly functions: Functions;
  private readonly steps: ReadonlyMap<Transfer, Steps>;
  private readonly addresses: Addresses;
  private readonly passage: Passage;
  private readonly counts: Workspace["counts"];
  private readonly clears = new Map<string, number>();
  private readonly walks = new Map<Transfer, number>();
  private readonly entries = new Map<Transfer, number>();

  constructor(
    plan: Plan,
    functions: Functions,
    steps: ReadonlyMap<Transfer, Steps>,
    addresses: Addresses,
    passage: Passage,
    counts: Workspace["counts"],
  ) {
    this.plan = plan;
    this.functions = functions;
    this.steps = steps;
    this.addresses = addresses;
    this.passage = passage;
    this.counts = counts;
  }

  /** Emits the function `run`, whose argument is the pair's place in a row of lanes, in bytes. */
  run(): void {
    const { plan, functions } = this;
    const code = new Code(1);
    this.passage.enter(code);
    for (const segment of plan.segments) this.segment(code, segment);
    if (plan.last !== null) this.walk(code, plan.last, plan.cycles, 1);
    this.passage.leave(code);
    functions.add(1, code, "run");
  }

  private segment(code: Code, { from, to, instants, clear, transfer }: Segment): void {
    for (const step of instants) this.instant(code, step, from);
    if (clear.length > 0)
      this.addresses.eachGroup(code, [this.addresses.frames], (args) => args().call(this.clear(clear)));
    this.walk(code, transfer, from, to - from);
  }

  private instant(code: Code, { firing, transfer, idleClear }: InstantStep, cycle: number): void {
    const { shared, alike, clusters, own } = this.steps.get(transfer)!;
    const at = this.addresses.cycleAt(cycle);
    if (shared !== null) code.i32(1).i32(at).i32(0).i32(0).call(shared);
    const call = (group: number, number: number): void => {
      const places = [this.addresses.groupCycles(cycle), this.addresses.frames];
      code.i32(1).i32(at);
      for (const { first, step } of places) code.i32(first + group * step);
      code.call(number);
    };
    for (const cluster of alike === null ? [firing.keys()] : clusters) {
      let isFirst = true;
      for (const g of cluster) {
        const frame = this.addresses.frames.first + g * this.addresses.frames.step;
        if (!firing[g]) {
          if (idleClear.length > 0) code.i32(frame).call(this.clear(idleClear));
          continue;
        }
        if (alike !== null && isFirst) call(g, alike);
        isFirst = false;
        if (transfer.entrySets.length > 0) code.i32(frame).call(this.entry(transfer));
        call(g, own);
      }
    }
  }

  /** Runs a transfer for some cycles. */
  private walk(code: Code, transfer: Transfer, from: number, cycles: number): void {
    code
      .i32(cycles)
      .i32(this.addresses.cycleAt(from))
      .i32(this.addresses.groupCycles(from).first)
      .call(this.walkOf(transfer));
  }

  /** A function of a number of cycles, the first one's address, and that of the first one of the first group. */
  private walkOf(transfer: Transfer): number {
    const known = this.walks.get(transfer);
    if (known !== undefined) return known;
    const { counts } = this;
    const { shared, alike, clusters, own, cycles } = this.steps.get(transfer)!;
    const code = new Code(3);
    const [count, cycle, groupCycle] = [parameters.count, parameters.cycle, parameters.groupCycle];
    const taken = code.local("i32");
    if (transfer.entrySets.length > 0) {
      const entry = this.entry(transfer);
      this.addresses.eachGroup(code, [this.addresses.frames], (args) => args().call(entry));
    }
    code.loop(() => {
      code.get(count).i32(cycles).get(count).i32(cycles).integer("lessUnsigned").select().set(taken);
      if (shared !== null) code.get(taken).get(cycle).i32(0).i32(0).call(shared);
      const { frames } = this.addresses;
      const groupCycles = { first: 0, step: this.addresses.groupCycles(0).step };
      if (alike === null)
        this.addresses.eachGroup(code, [groupCycles, frames], (args) => {
          code.get(taken).get(cycle);
          args(groupCycle).call(own);
        });
      const call = (group: number, number: number): void => {
        code.get(taken).get(cycle);
        code
          .get(groupCycle)
          .i32(group * groupCycles.step)
          .integer("add");
        code.i32(frames.first + group * frames.step).call(number);
      };
      for (const cluster of clusters) {
        call(cluster[0]!, alike!);
        for (const group of cluster) call(group, own);
      }
      for (const [local, step] of [
        [cycle, 16 * counts.cycle],
        [groupCycle, 8 * counts.groupCycle],
      ] as const)
        code.get(taken).i32(step).integer("multiply").get(local).integer("add").set(local);
      code.get(count).get(taken).integer("subtract").tee(count);
    });
    const number = this.functions.add(3, code);
    this.walks.set(transfer, number);
    return number;
  }

  /** A function of a group's frame that empties states. */
  private clear(states: readonly number[]): number {
    const key = states.join();
    const known = this.clears.get(key);
    if (known !== undefined) return known;
    const code = new Code(1);
    const open = code.local("i32");
    code.get(0).loadInteger(0).set(open);
    for (const state of states)
      code
        .get(open)
        .constant(0)
        .store(16 * state);
    const number = this.functions.add(1, code);
    this.clears.set(key, number);
    return number;
  }

  /** A function of a group's frame that adds up the sets a transfer reads at its opening. */
  private entry(transfer: Transfer): number {
    const known = this.entries.get(transfer);
    if (known !== undefined) return known;
    const code = new Code(1);
    const open = code.local("i32");
    code.get(0).loadInteger(0).set(open);
    for (const k of transfer.entrySets) {
      code.get(open);
      for (const [i, state] of transfer.sets[k]!.entries()) {
        code.get(open).load(16 * state);
        if (i > 0) code.lanes("add");
      }
      code.store(16 * (this.plan.states + k));
    }
    const number = this.functions.add(1, code);
    this.entries.set(transfer, number);
    return number;
  }
}
