import type { Plan } from "../plan.ts";
import type { Addresses } from "./addresses.ts";
import { Code } from "./code.ts";
import type { Ground } from "./ground.ts";
import type { Source } from "./lens.ts";
import { LogTables } from "./log-tables.ts";
import type { Functions } from "./module.ts";
import { PowerLogarithm } from "./power-logarithm.ts";

/** Rows of a group in the lanes' workspace: where failed checks are noted, where the sum of a tally goes. */
export interface GroupRows {
  readonly note: number;
  tally(number: number): number;
}

/** Emits the way of a pair of lanes from the workspace into the frame, and back when all cycles are done. */
export class Passage {
  private readonly plan: Plan;
  private readonly ground: Ground;
  private readonly functions: Functions;
  private readonly addresses: Addresses;
  private readonly rows: GroupRows;
  private splitNumber: number | undefined;

  constructor(plan: Plan, ground: Ground, functions: Functions, addresses: Addresses, rows: GroupRows) {
    this.plan = plan;
    this.ground = ground;
    this.functions = functions;
    this.addresses = addresses;
    this.rows = rows;
  }

  /** Copies to the frame what a pair brings along; the pair's place in a row of lanes is argument 0. */
  enter(code: Code): void {
    const { frame, frameAt } = this.ground;
    code.i32(0).constant(0).store(frameAt);
    for (const [row, at] of frame.rows.copies)
      code
        .i32(0)
        .get(0)
        .load(this.addresses.rowAt(row))
        .store(frameAt + at);
    for (const [row, at] of frame.rows.truths)
      code
        .i32(0)
        .get(0)
        .load(this.addresses.rowAt(row))
        .constant(0)
        .lanes("unequal")
        .store(frameAt + at);
    for (const { base, at } of frame.rows.logarithms.values()) {
      code.i32(frameAt + at);
      this.base(code, base, () => code.get(0).load(this.addresses.rowAt(base.position)));
    }
    const enter = this.enterGroup();
    const { frames, groups, groupRows, banks } = this.addresses;
    this.addresses.eachGroup(code, [frames, groups, groupRows, banks], (args) => {
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
    for (const [row, at] of frame.groupRows.truths)
      code
        .get(own)
        .get(rows)
        .load(lane * row)
        .constant(0)
        .lanes("unequal")
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
    if (region === "constant") code.i32(0).loadSplat(this.addresses.doubleAt(position));
    else if (region === "group") code.get(group).loadSplat(8 * position);
    else row();
    code.store(0).call(this.split());
  }

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

  /** Copies sums and notes back to the lanes. */
  leave(code: Code): void {
    const { frame, frameAt, workspace } = this.ground;
    const lane = 8 * workspace.lanes;
    const note = this.addresses.rowAt(this.rows.note);
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
    this.addresses.eachGroup(code, [this.addresses.groupRows, this.addresses.frames], (args) => {
      args(0).call(number);
    });
  }
}
