import type { Workspace } from "../compile/kernel/frame.ts";
import type { Source } from "../compile/kernel/lens.ts";
import type { Plan, Segment, Transfer } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { type Assembly, assemble, firstAccountRow, type Through } from "./assembly.ts";
import { type LaneLoop, laneLoops } from "./lane-loops.ts";
import { regions, stride, type Tape } from "./tape.ts";
import type { View } from "./view.ts";

/** What a block of rows leaves: rows of lanes, to be read before the next block runs. */
export interface BlockResult {
  /** The value of an account of a group in a lane; the number of accounts itself gives undiscounted life years. */
  total(group: number, account: number, lane: number): number;
  /** True where a demand was not met, so that the lane's totals mean nothing. */
  failed(group: number, lane: number): boolean;
}

const regionNames = Object.keys(regions);

const nothing = (_cycle: number, _group: number): void => {};

/**
 * Evaluates one strategy's plan over blocks of rows, a row and group being a lane: plain loops over lanes, operation by
 * operation, in one workspace that is allocated once. Nothing is added across lanes, so a lane's result does not depend
 * on the block it is in.
 */
export class Lanes implements BlockResult {
  readonly lanes: number;
  private readonly plan: Plan;
  private readonly program: Program;
  private readonly assembly: Assembly;
  private readonly loops: readonly LaneLoop[];
  private m: Float64Array;
  /** What takes so many lanes through all cycles, where it is not the tapes. */
  private kernel: ((count: number) => void) | null = null;
  /** Where each region of the present cycle and group begins. */
  private readonly base = new Int32Array(8);
  private readonly at: Readonly<Record<"cycle" | "group" | "groupCycle" | "row" | "groupRow" | "banks", number>>;
  /** Per group, which of its two banks of rows holds the opening membership. */
  private readonly turn: Uint8Array;
  private readonly unmet: boolean;
  private n = 0;

  /**
   * `view` fixes which components differ between rows. Rows of the workspace hold `lanes` lanes, a multiple of 4. Where a
   * kernel is to take them through the cycles, they must `follow` one before they run.
   */
  constructor(program: Program, plan: Plan, view: View, lanes: number, through: Through = "tapes") {
    const loops = laneLoops(program.tables);
    const assembly = assemble(program, plan, view, lanes, Object.keys(loops), through);
    this.lanes = lanes;
    this.plan = plan;
    this.program = program;
    this.assembly = assembly;
    this.loops = Object.values(loops);
    const { singles, rows } = assembly;
    const G = program.groups.length;
    const T = plan.cycles;
    const cycle = singles.constants.length;
    const group = cycle + (T + 1) * singles.count("cycle");
    const groupCycle = group + G * singles.count("group");
    // even, so that pairs of lanes lie at multiples of 16 bytes
    const row = (groupCycle + G * (T + 1) * singles.count("groupCycle") + 1) & -2;
    const groupRow = row + rows.row * lanes;
    const banks = groupRow + G * rows.groupRow * lanes;
    this.at = { cycle, group, groupCycle, row, groupRow, banks };
    // single numbers, then rows of lanes: passing values, [group][row of the group], [group][bank][row]
    this.m = new Float64Array(banks + G * 2 * rows.bank * lanes);
    this.m.set(singles.constants);
    this.turn = new Uint8Array(G);
    this.unmet = this.writeSingles();
  }

  /** True where the numbers that serve all lanes are in range, so that plain checks can tell which rows are good. */
  get sound(): boolean {
    return !this.unmet;
  }

  /**
   * Runs `count` rows from row `from` of an array of rows with `width` components each. `after` is called when a cycle
   * of a group is done; `member` then gives its closing membership.
   */
  run(
    values: Float64Array,
    width: number,
    from: number,
    count: number,
    after: (cycle: number, group: number) => void = nothing,
  ): BlockResult {
    const { m, assembly, plan, lanes } = this;
    const G = this.program.groups.length;
    if (count < 1 || count > lanes) throw new Error(`${count} rows in a block of ${lanes}`);
    this.n = (count + 3) & -4;
    for (const { component, row } of assembly.loads) {
      const place = this.at.row + row * lanes;
      for (let l = 0; l < this.n; l++) {
        // lanes that only fill up the last four repeat the last row
        const k = from + (l < count ? l : count - 1);
        m[place + l] = values[k * width + component]!;
      }
    }
    this.base[regions.row] = this.at.row;
    m.fill(0, this.at.row, this.at.row + lanes);
    this.play(assembly.rowTape);
    this.turn.fill(0);
    for (let g = 0; g < G; g++) {
      this.enter(g, 0);
      const notes = this.base[regions.groupRow]!;
      m.fill(0, notes, notes + (firstAccountRow + plan.accounts + 1 + plan.tallies.length) * lanes);
      this.play(assembly.groupTape);
    }
    if (this.kernel === null) this.cycles(after);
    else this.kernel(count);
    for (let g = 0; g < G; g++) {
      this.enter(g, 0);
      this.play(assembly.finish);
    }
    return this;
  }

  /** The shape of the workspace, and the numbers in it. */
  get workspace(): Workspace {
    const { singles, rows } = this.assembly;
    return {
      lanes: this.lanes,
      groups: this.program.groups.length,
      cycles: this.plan.cycles,
      at: this.at,
      counts: {
        cycle: singles.count("cycle"),
        group: singles.count("group"),
        groupCycle: singles.count("groupCycle"),
        groupRow: rows.groupRow,
        bank: rows.bank,
      },
      length: this.m.length,
    };
  }

  /** The numbers of the workspace. */
  get numbers(): Float64Array {
    return this.m;
  }

  /** Where a value lies that is there before the cycles begin. */
  source(node: number): Source {
    return this.sourceAt(this.assembly.place(node));
  }

  /** True where a value that serves all lanes has a place. */
  knows(node: number): boolean {
    return this.assembly.singles.has(node);
  }

  /** Where the factor per cycle of a tally lies. */
  factor(tally: number): Source {
    return this.sourceAt(this.assembly.factor(tally));
  }

  /** From now on works in another array of the same length, where `kernel` takes so many lanes through all cycles. */
  follow(m: Float64Array, kernel: (count: number) => void): void {
    m.set(this.m);
    this.m = m;
    this.kernel = kernel;
  }

  total(group: number, account: number, lane: number): number {
    return this.m[this.groupRow(group) + (firstAccountRow + account) * this.lanes + lane]!;
  }

  failed(group: number, lane: number): boolean {
    return this.m[this.at.row + lane] !== 0 || this.m[this.groupRow(group) + lane] !== 0;
  }

  /** Closing membership of a state in a lane, of the group and cycle just done; states the transfer writes only. */
  member(state: number, lane: number): number {
    return this.m[this.base[regions.closing]! + state * this.lanes + lane]!;
  }

  private sourceAt(place: number): Source {
    const region = regionNames[place & 7] as Source["region"];
    const position = place >> 3;
    return { region, position: region === "row" || region === "groupRow" ? position / this.lanes : position };
  }

  private cycles(after: typeof nothing): void {
    const { plan } = this;
    for (const segment of plan.segments) this.segment(segment, after);
    if (plan.last === null) return;
    this.entry(plan.last, plan.cycles);
    this.cycle(plan.last, plan.cycles, nothing);
  }

  private groupRow(group: number): number {
    return this.at.groupRow + group * this.assembly.rows.groupRow * this.lanes;
  }

  private segment({ from, to, instants, clear, transfer }: Segment, after: typeof nothing): void {
    const G = this.program.groups.length;
    for (const { firing, transfer: step, idleClear } of instants) {
      const { entry, shared, own } = this.assembly.transfers.get(step)!;
      this.enter(0, from);
      this.play(shared);
      for (let g = 0; g < G; g++) {
        this.enter(g, from);
        if (firing[g]!) {
          this.play(entry);
          this.play(own);
          this.turn[g]! ^= 1;
        } else this.clear(idleClear);
      }
    }
    for (let g = 0; g < G; g++) {
      this.enter(g, from);
      this.clear(clear);
    }
    this.entry(transfer, from);
    for (let c = from; c < to; c++) this.cycle(transfer, c, after);
  }

  private entry(transfer: Transfer, c: number): void {
    const { entry } = this.assembly.transfers.get(transfer)!;
    for (let g = 0; g < this.program.groups.length; g++) {
      this.enter(g, c);
      this.play(entry);
    }
  }

  private cycle(transfer: Transfer, c: number, after: typeof nothing): void {
    const { shared, own } = this.assembly.transfers.get(transfer)!;
    this.enter(0, c);
    this.play(shared);
    for (let g = 0; g < this.program.groups.length; g++) {
      this.enter(g, c);
      this.play(own);
      after(c, g);
      this.turn[g]! ^= 1;
    }
  }

  private clear(states: readonly number[]): void {
    const opening = this.base[regions.opening]!;
    for (const state of states) this.m.fill(0, opening + state * this.lanes, opening + (state + 1) * this.lanes);
  }

  /** Points the regions at a group and a cycle. */
  private enter(g: number, c: number): void {
    const { base, at, assembly, lanes } = this;
    const { singles, rows } = assembly;
    base[regions.cycle] = at.cycle + c * singles.count("cycle");
    base[regions.group] = at.group + g * singles.count("group");
    base[regions.groupCycle] = at.groupCycle + (g * (this.plan.cycles + 1) + c) * singles.count("groupCycle");
    base[regions.groupRow] = this.groupRow(g);
    const bank = rows.bank * lanes;
    const first = at.banks + 2 * g * bank;
    base[regions.opening] = first + this.turn[g]! * bank;
    base[regions.closing] = first + (1 - this.turn[g]!) * bank;
  }

  private play(tape: Tape): void {
    const { m, n, base, loops } = this;
    for (let p = 0; p < tape.length; p += stride) {
      const o = tape[p + 1]!;
      const a = tape[p + 2]!;
      const b = tape[p + 3]!;
      const c = tape[p + 4]!;
      // the third bit of a place tells regions of lanes from those of single numbers
      loops[tape[p]!]!(
        m,
        n,
        base[o & 7]! + (o >> 3),
        base[a & 7]! + (a >> 3),
        (a & 4) >> 2,
        base[b & 7]! + (b >> 3),
        (b & 4) >> 2,
        base[c & 7]! + (c >> 3),
        (c & 4) >> 2,
      );
    }
  }

  /** Tabulates what serves all lanes; true where a demand on it is not met. */
  private writeSingles(): boolean {
    const { assembly, plan } = this;
    const inUse = new Map<Transfer, Set<number>>();
    const use = (transfer: Transfer, from: number, to: number): void => {
      const cycles = inUse.get(transfer) ?? new Set<number>();
      for (let c = from; c < to; c++) cycles.add(c);
      inUse.set(transfer, cycles);
    };
    for (const { from, to, instants, transfer } of plan.segments) {
      use(transfer, from, to);
      for (const step of instants) use(step.transfer, from, from + 1);
    }
    if (plan.last !== null) use(plan.last, plan.cycles, plan.cycles + 1);
    return assembly.singles.write(this.m, this.at, plan.cycles, this.program.groups.length, {
      checks: assembly.singleChecks,
      applies: (transfer, c) => (transfer === null ? c === 0 : inUse.get(transfer)!.has(c)),
    });
  }
}
