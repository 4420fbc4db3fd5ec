import type { InstantStep, Plan, Segment, Transfer } from "../plan.ts";
import { Code } from "./code.ts";
import { type Ground, parameters } from "./ground.ts";
import type { Source } from "./lens.ts";
import { LogTables } from "./log-tables.ts";
import type { Functions } from "./module.ts";
import { PowerLogarithm } from "./power-logarithm.ts";

/** The functions of a transfer: what all groups share, if anything, and what one group does; cycles they take at once. */
export interface Steps {
  readonly shared: number | null;
  readonly own: number;
  readonly cycles: number;
}

/** Rows of a group in the lanes' workspace: where failed checks are noted, where the sum of a tally goes. */
export interface GroupRows {
  readonly note: number;
  tally(number: number): number;
}

interface Pointer {
  readonly first: number;
  readonly step: number;
}

/** Emits what takes one pair of lanes from the start to the end of the plan. */
export class Driver {
  private readonly plan: Plan;
  private readonly ground: Ground;
  private readonly functions: Functions;
  private readonly steps: ReadonlyMap<Transfer, Steps>;
  private readonly rows: GroupRows;
  private readonly groupsAt: number;
  private readonly clears = new Map<string, number>();
  private readonly walks = new Map<Transfer, number>();
  private readonly entries = new Map<Transfer, number>();

  /** `groupsAt` is the address of the parts of the frame that groups have. */
  constructor(
    plan: Plan,
    ground: Ground,
    functions: Functions,
    steps: ReadonlyMap<Transfer, Steps>,
    rows: GroupRows,
    groupsAt: number,
  ) {
    this.plan = plan;
    this.ground = ground;
    this.functions = functions;
    this.steps = steps;
    this.rows = rows;
    this.groupsAt = groupsAt;
  }

  /** First address behind the frame. */
  get end(): number {
    return this.groupsAt + this.ground.workspace.groups * this.ground.frame.groupRows.bytes;
  }

  /** Emits the function `run`, whose argument is the pair's place in a row of lanes, in bytes. */
  run(): void {
    const { plan, functions } = this;
    const code = new Code(1);
    this.enter(code);
    for (const segment of plan.segments) this.segment(code, segment);
    if (plan.last !== null) this.walk(code, plan.last, plan.cycles, 1);
    this.leave(code);
    functions.add(1, code, "run");
  }

  private segment(code: Code, { from, to, instants, clear, transfer }: Segment): void {
    for (const step of instants) this.instant(code, step, from);
    if (clear.length > 0) this.eachGroup(code, [this.frames], (args) => args().call(this.clear(clear)));
    this.walk(code, transfer, from, to - from);
  }

  private instant(code: Code, { firing, transfer, idleClear }: InstantStep, cycle: number): void {
    const { shared, own } = this.steps.get(transfer)!;
    const at = this.cycleAt(cycle);
    if (shared !== null) code.i32(1).i32(at).i32(0).i32(0).call(shared);
    const place = ({ first, step }: Pointer, g: number): number => first + g * step;
    for (const [g, fires] of firing.entries()) {
      const frame = place(this.frames, g);
      if (!fires) {
        if (idleClear.length > 0) code.i32(frame).call(this.clear(idleClear));
        continue;
      }
      if (transfer.entrySets.length > 0) code.i32(frame).call(this.entry(transfer));
      code.i32(1).i32(at);
      code
        .i32(place(this.groupCycles(cycle), g))
        .i32(frame)
        .call(own);
    }
  }

  /** Runs a transfer for some cycles. */
  private walk(code: Code, transfer: Transfer, from: number, cycles: number): void {
    code.i32(cycles).i32(this.cycleAt(from)).i32(this.groupCycles(from).first).call(this.walkOf(transfer));
  }

  /** A function of a number of cycles, the first one's address, and that of the first one of the first group. */
  private walkOf(transfer: Transfer): number {
    const known = this.walks.get(transfer);
    if (known !== undefined) return known;
    const { counts } = this.ground.workspace;
    const { shared, own, cycles } = this.steps.get(transfer)!;
    const code = new Code(3);
    const [count, cycle, groupCycle] = [parameters.count, parameters.cycle, parameters.groupCycle];
    const taken = code.local("i32");
    if (transfer.entrySets.length > 0) {
      const entry = this.entry(transfer);
      this.eachGroup(code, [this.frames], (args) => args().call(entry));
    }
    code.loop(() => {
      code.get(count).i32(cycles).get(count).i32(cycles).integer("lessUnsigned").select().set(taken);
      if (shared !== null) code.get(taken).get(cycle).i32(0).i32(0).call(shared);
      const groupCycles = { first: 0, step: this.groupCycles(0).step };
      this.eachGroup(code, [groupCycles, this.frames], (args) => {
        code.get(taken).get(cycle);
        args(groupCycle).call(own);
      });
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

  /** Repeats for all groups; `args` pushes the addresses of the present one, the first with a local added if asked. */
  private eachGroup(code: Code, list: readonly Pointer[], body: (args: (added?: number) => Code) => void): void {
    const locals = list.map(() => code.local("i32"));
    for (const [i, { first }] of list.entries()) code.i32(first).set(locals[i]!);
    const left = code.local("i32");
    code.i32(this.ground.workspace.groups).set(left);
    code.loop(() => {
      body((added) => {
        for (const [i, local] of locals.entries()) {
          code.get(local);
          if (i === 0 && added !== undefined) code.get(added).integer("add");
        }
        return code;
      });
      for (const [i, { step }] of list.entries()) code.get(locals[i]!).i32(step).integer("add").set(locals[i]!);
      code.get(left).i32(1).integer("subtract").tee(left);
    });
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

  private enter(code: Code): void {
    const { frame, frameAt, workspace } = this.ground;
    code.i32(0).constant(0).store(frameAt);
    for (const [row, at] of frame.rows.copies)
      code
        .i32(0)
        .get(0)
        .load(this.rowAt(row))
        .store(frameAt + at);
    for (const { base, at } of frame.rows.logarithms.values()) {
      code.i32(frameAt + at);
      this.base(code, base, () => code.get(0).load(this.rowAt(base.position)));
    }
    const enter = this.enterGroup();
    const lane = 8 * workspace.lanes;
    const groupRows = { first: this.doubleAt(workspace.at.groupRow), step: workspace.counts.groupRow * lane };
    const banks = { first: this.doubleAt(workspace.at.banks), step: 2 * workspace.counts.bank * lane };
    this.eachGroup(code, [this.frames, this.groups, groupRows, banks], (args) => {
      args();
      code.get(0).call(enter);
    });
  }

  /** A function of a group's frame, its single numbers, its rows, its banks, and the pair's place. */
  private enterGroup(): number {
    const { frame, workspace } = this.ground;
    const lane = 8 * workspace.lanes;
    const code = new Code(5);
    const [own, group, rows, banks, pair] = [0, 1, 2, 3, 4];
    for (const local of [rows, banks]) code.get(local).get(pair).integer("add").set(local);
    for (const which of [0, 1] as const)
      code
        .get(own)
        .get(own)
        .i32(frame.bank(which))
        .integer("add")
        .storeInteger(4 * which);
    const zeros = [frame.note, ...this.plan.tallies.map((_, tally) => frame.tally(tally))];
    for (const at of zeros) code.get(own).constant(0).store(at);
    for (const { state } of this.plan.start.shares)
      code
        .get(own)
        .get(banks)
        .load(lane * state)
        .store(frame.bank(0) + 16 * state);
    for (const [row, at] of frame.groupRows.copies)
      code
        .get(own)
        .get(rows)
        .load(lane * row)
        .store(at);
    for (const [number, at] of frame.groupRows.singles)
      code
        .get(own)
        .get(group)
        .loadSplat(8 * number)
        .store(at);
    for (const { base, at } of frame.groupRows.logarithms.values()) {
      code.get(own).i32(at).integer("add");
      this.base(code, base, () => code.get(rows).load(lane * base.position), group);
    }
    return this.functions.add(5, code);
  }

  /** With an address on top, leaves there the split logarithm of a power's base. */
  private base(code: Code, { region, position }: Source, row: () => void, group = 0): void {
    const at = code.local("i32");
    code.tee(at).get(at);
    if (region === "constant") code.i32(0).loadSplat(this.doubleAt(position));
    else if (region === "group") code.get(group).loadSplat(8 * position);
    else row();
    code.store(0).call(this.split());
  }

  private splitNumber: number | undefined;

  /** A function of an address, which finds a base there and leaves its split logarithm. */
  private split(): number {
    if (this.splitNumber !== undefined) return this.splitNumber;
    const code = new Code(1);
    const [rest, upper] = [code.local("v128"), code.local("v128")];
    code.get(0).load(0);
    new PowerLogarithm(code, new LogTables(code, 0)).split();
    code.set(rest).set(upper).get(0).get(upper).store(0).get(0).get(rest).store(16);
    this.splitNumber = this.functions.add(1, code);
    return this.splitNumber;
  }

  /** Takes sums and notes back to the lanes. */
  private leave(code: Code): void {
    const { frame, frameAt, workspace } = this.ground;
    const lane = 8 * workspace.lanes;
    const note = this.rowAt(this.rows.note);
    code.get(0).get(0).load(note).i32(0).load(frameAt).lanes("or").store(note);
    const leave = new Code(2);
    const [rows, own] = [0, 1];
    const groupNote = lane * this.rows.note;
    leave.get(rows).get(rows).load(groupNote).get(own).load(frame.note).lanes("or").store(groupNote);
    for (const tally of this.plan.tallies.keys())
      leave
        .get(rows)
        .get(own)
        .load(frame.tally(tally))
        .store(lane * this.rows.tally(tally));
    const number = this.functions.add(2, leave);
    const groupRows = { first: this.doubleAt(workspace.at.groupRow), step: workspace.counts.groupRow * lane };
    this.eachGroup(code, [groupRows, this.frames], (args) => {
      args(0).call(number);
    });
  }

  private get frames(): Pointer {
    return { first: this.groupsAt, step: this.ground.frame.groupRows.bytes };
  }

  private get groups(): Pointer {
    const { at, counts } = this.ground.workspace;
    return { first: this.doubleAt(at.group), step: 8 * counts.group };
  }

  /** The numbers of groups in a cycle. */
  private groupCycles(cycle: number): Pointer {
    const { at, counts, cycles } = this.ground.workspace;
    const step = 8 * (cycles + 1) * counts.groupCycle;
    return { first: this.doubleAt(at.groupCycle + cycle * counts.groupCycle), step };
  }

  private cycleAt(cycle: number): number {
    return this.ground.cyclesAt + 16 * cycle * this.ground.workspace.counts.cycle;
  }

  /** The address of a row's first lane. */
  private rowAt(row: number): number {
    const { at, lanes } = this.ground.workspace;
    return this.doubleAt(at.row + row * lanes);
  }

  private doubleAt(position: number): number {
    return this.ground.workspaceAt + 8 * position;
  }
}
