import { byDraw, type Demand, ranges } from "../compile/graph.ts";
import type { CheckPlace, Plan, Term, Transfer } from "../compile/plan.ts";
import type { Program } from "../compile/program.ts";
import { type Needs, needsOf, type TransferNeeds } from "./needs.ts";
import { type Demanded, type PlainChecks, plainChecks } from "./plain-checks.ts";
import { SingleNumbers } from "./single-numbers.ts";
import { type Bench, RowPool, rowPlace, Stage } from "./stage.ts";
import { type Tape, TapeWriter } from "./tape.ts";
import type { View } from "./view.ts";
import { weightValues } from "./weight-values.ts";

/** The tapes of a transfer: sums of opening rows at entry, what all groups share, what a group does. */
export interface TransferTapes {
  readonly entry: Tape;
  readonly shared: Tape;
  readonly own: Tape;
}

/** A plan as tapes for one view of its graph and rows of `lanes` lanes. */
export interface Assembly {
  readonly lanes: number;
  readonly singles: SingleNumbers;
  /** Demands on numbers that serve all lanes; where one is not met, only a careful view tells whether it matters. */
  readonly singleChecks: PlainChecks["single"];
  /** Components that differ between rows, and the row of the workspace that takes each. */
  readonly loads: readonly { readonly component: number; readonly row: number }[];
  /** Once per block of rows, and once per group of it. */
  readonly rowTape: Tape;
  readonly groupTape: Tape;
  /** Once per group when all cycles are done: accounts from tallies. */
  readonly finish: Tape;
  readonly transfers: ReadonlyMap<Transfer, TransferTapes>;
  /** Rows in each region of lanes. Row 0 of `row` and of `groupRow` takes the notes of failed checks. */
  readonly rows: { readonly row: number; readonly groupRow: number; readonly bank: number };
  /** The place of a value that is there before the cycles begin, and of the factor per cycle of a tally. */
  readonly place: (node: number) => number;
  readonly factor: (tally: number) => number;
}

/** Row of a group that holds its first account; the others follow, life years last, then the tallies. */
export const firstAccountRow = 1;

/** Row that takes the notes of failed checks. */
export const noteRow = 0;

/** Row of a group that holds the sum of a tally. */
export function tallyRow(plan: Plan, tally: number): number {
  return firstAccountRow + plan.accounts + 1 + tally;
}

/** What takes lanes through the cycles: tapes, or a kernel, which only wants to know where everything lies. */
export type Through = "tapes" | "kernel";

/** Assembles a plan; operations are numbered as they stand in `operations`. */
export function assemble(
  program: Program,
  plan: Plan,
  view: View,
  lanes: number,
  operations: readonly string[],
  through: Through,
): Assembly {
  return new Assembler(program, plan, view, lanes, operations).assembly(through);
}

class Assembler {
  private readonly plan: Plan;
  private readonly view: View;
  private readonly lanes: number;
  private readonly operations: readonly string[];
  private readonly needs: Needs;
  private readonly plain: PlainChecks | null;
  private readonly singles: SingleNumbers;
  private readonly weights: readonly Float64Array[];
  /** Places of values that last for a block. */
  private readonly lasting = new Map<number, number>();
  private readonly one: number;
  private readonly zero: number;

  constructor(program: Program, plan: Plan, view: View, lanes: number, operations: readonly string[]) {
    this.plan = plan;
    this.view = view;
    this.lanes = lanes;
    this.operations = operations;
    this.needs = needsOf(plan, view);
    this.plain = view.careful ? null : plainChecks(plan, view);
    this.singles = new SingleNumbers(view);
    this.weights = weightValues(program, plan);
    this.one = this.singles.constant(1);
    this.zero = this.singles.constant(0);
  }

  assembly(through: Through): Assembly {
    const { plan, needs, lanes, view, plain } = this;
    const loads: { component: number; row: number }[] = [];
    let rows = noteRow + 1;
    let groupRows = tallyRow(plan, plan.tallies.length);
    for (const number of needs.row) {
      const node = view.graph.nodes[number]!;
      if (node.op === "component") loads.push({ component: node.component, row: rows });
      else if (!needs.outlive.has(number)) continue;
      this.lasting.set(number, rowPlace("row", rows++, lanes));
    }
    for (const node of needs.groupRow)
      if (needs.outlive.has(node)) this.lasting.set(node, rowPlace("groupRow", groupRows++, lanes));
    const bench: Bench = {
      view,
      lanes,
      pool: new RowPool(rows),
      constant: (value) => this.singles.constant(value),
      place: (node) => this.lasting.get(node) ?? this.singles.node(node),
    };
    const computed = needs.row.filter((node) => view.graph.nodes[node]!.op !== "component");
    const rowTape = this.early(bench, computed, plain?.row ?? [], "row");
    const start = view.careful ? plan.start.checks.map(({ guard }) => this.demanded(guard)) : plain!.groupRow;
    const groupTape = this.early(bench, needs.groupRow, start, "groupRow", (writer, stage) => {
      for (const { state, coefficient } of plan.start.shares)
        writer.write("copy", rowPlace("opening", state, lanes), stage.place(coefficient));
    });
    const transfers = new Map<Transfer, TransferTapes>();
    for (const [transfer, need] of needs.transfers) {
      if (through === "tapes") transfers.set(transfer, this.transfer(bench, transfer, need));
      else this.singlesOf(transfer, need);
    }
    const sets = Math.max(0, ...[...needs.transfers.keys()].map((transfer) => transfer.sets.length));
    return {
      lanes,
      singles: this.singles,
      singleChecks: plain?.single ?? [],
      loads,
      rowTape,
      groupTape,
      finish: this.finish(bench),
      transfers,
      rows: { row: bench.pool.high, groupRow: groupRows, bank: plan.states + sets },
      place: bench.place,
      factor: (tally) => this.factor(tally),
    };
  }

  /** What is computed once for a block; values that later stages read have their lasting places. */
  private early(
    bench: Bench,
    nodes: readonly number[],
    checks: readonly Demanded[],
    notes: "row" | "groupRow",
    then: (writer: TapeWriter, stage: Stage) => void = () => {},
  ): Tape {
    const writer = new TapeWriter(this.operations);
    const stage = new Stage(bench, writer);
    stage.compute(nodes, new Set(nodes), (node) => this.lasting.get(node));
    for (const check of checks) this.check(writer, stage.place(check.node), check.demand, notes);
    then(writer, stage);
    stage.end();
    return writer.tape();
  }

  /** Gives places to the numbers that serve all lanes and that a transfer reads. */
  private singlesOf({ counts }: Transfer, { shared, own, roots }: TransferNeeds): void {
    const { view, singles } = this;
    const read = [...roots, ...[...shared, ...own].flatMap((node) => view.operands(node))];
    for (const node of read) if ((view.axes[node]! & byDraw) === 0) singles.node(node);
    for (const { tally } of counts) this.factor(tally);
  }

  private transfer(bench: Bench, transfer: Transfer, needs: TransferNeeds): TransferTapes {
    const { lanes, view, plain } = this;
    const { sets, flows, counts } = transfer;
    const n = this.plan.states;
    const entry = new TapeWriter(this.operations);
    for (const k of transfer.entrySets) this.sum(entry, "opening", n + k, sets[k]!);

    const shared = new TapeWriter(this.operations);
    const ofAll = new Stage(bench, shared);
    const read = new Set(needs.own.flatMap((node) => view.operands(node)));
    ofAll.compute(needs.shared, new Set([...needs.roots, ...read]), () => undefined);
    for (const { node, demand } of plain?.shared.get(transfer) ?? [])
      this.check(shared, ofAll.place(node), demand, "row");

    const own = new TapeWriter(this.operations);
    const ofOne = new Stage({ ...bench, place: (node) => ofAll.place(node) }, own);
    ofOne.compute(needs.own, needs.roots, () => undefined);
    for (const { node, demand } of plain?.own.get(transfer) ?? [])
      this.check(own, ofOne.place(node), demand, "groupRow");
    const reached = new Set<number>();
    for (const { target, coefficient, from } of flows) {
      const [result, member] = [rowPlace("closing", target, lanes), rowPlace("opening", from, lanes)];
      this.product(own, reached.has(target) ? "add_" : "", result, ofOne.place(coefficient), member);
      reached.add(target);
    }
    for (const state of transfer.writes)
      if (!reached.has(state)) own.write("copy", rowPlace("closing", state, lanes), this.zero);
    for (const k of transfer.closingSets) this.sum(own, "closing", n + k, sets[k]!);
    const row = bench.pool.take();
    const passing = rowPlace("row", row, lanes);
    for (const { tally, terms } of counts) {
      const factor = this.factor(tally);
      const sum = rowPlace("groupRow", tallyRow(this.plan, tally), lanes);
      const [first] = terms;
      if (terms.length === 1 && ofOne.place(first!.coefficient) === this.one)
        this.term(own, "add_", sum, factor, first!);
      else {
        for (const [i, term] of terms.entries())
          this.term(own, i === 0 ? "" : "add_", passing, ofOne.place(term.coefficient), term);
        own.write("add_product", sum, factor, passing);
      }
    }
    if (view.careful) this.carefulChecks(own, ofOne, transfer, passing);
    bench.pool.give(row);
    ofOne.end();
    ofAll.end();
    return { entry: entry.tape(), shared: shared.tape(), own: own.tape() };
  }

  /** A check that counts only where there are people: elsewhere the least allowed value stands in. */
  private carefulChecks(writer: TapeWriter, stage: Stage, transfer: Transfer, passing: number): void {
    const [reads, writes] = [new Set(transfer.reads), new Set(transfer.writes)];
    const people = (region: "opening" | "closing", { state }: CheckPlace): number => {
      if (state === null) return this.one;
      const known = region === "opening" ? reads : writes;
      return known.has(state) ? rowPlace(region, state, this.lanes) : this.zero;
    };
    for (const { guard, places } of transfer.checks) {
      const { node, demand } = this.demanded(guard);
      const low = this.singles.constant(ranges[demand][0]);
      for (const place of places) {
        const closing = place.either ? people("closing", place) : this.zero;
        const via = place.via === null ? this.one : stage.place(place.via);
        writer.write("present", passing, people("opening", place), closing, via);
        writer.write("if", passing, passing, stage.place(node), low);
        this.check(writer, passing, demand, "groupRow");
      }
    }
  }

  private demanded(guard: number): Demanded {
    const { of, demand } = this.view.guard(guard);
    return { node: this.view.resolved(of), demand };
  }

  private check(writer: TapeWriter, value: number, demand: Demand, notes: "row" | "groupRow"): void {
    const [low, high] = ranges[demand];
    const note = rowPlace(notes, noteRow, this.lanes);
    writer.write("check", note, value, this.singles.constant(low), this.singles.constant(high));
  }

  private sum(writer: TapeWriter, region: "opening" | "closing", row: number, members: readonly number[]): void {
    const at = (state: number) => rowPlace(region, state, this.lanes);
    const [first, second, ...others] = members;
    writer.write("add", at(row), at(first!), at(second!));
    for (const state of others) writer.write("sum", at(row), at(state));
  }

  /** A coefficient times a row, set or added. */
  private product(writer: TapeWriter, how: "" | "add_", result: number, coefficient: number, row: number): void {
    if (coefficient === this.one) writer.write(how === "" ? "copy" : "sum", result, row);
    else writer.write(how === "" ? "multiply" : "add_product", result, coefficient, row);
  }

  private term(writer: TapeWriter, how: "" | "add_", result: number, coefficient: number, term: Term): void {
    const opening = rowPlace("opening", term.opening, this.lanes);
    const closing = rowPlace("closing", term.closing, this.lanes);
    if (term.closing < 0) this.product(writer, how, result, coefficient, opening);
    else if (term.opening < 0) this.product(writer, how, result, coefficient, closing);
    else if (coefficient === this.one && how === "") writer.write("add", result, opening, closing);
    else writer.write(`${how}product_of_sum`, result, coefficient, opening, closing);
  }

  private factor(tally: number): number {
    const { weight } = this.plan.tallies[tally]!;
    return this.singles.weight(this.weights[weight]!, weight);
  }

  private finish(bench: Bench): Tape {
    const writer = new TapeWriter(this.operations);
    const reached = new Set<number>();
    for (const [tally, { worth }] of this.plan.tallies.entries()) {
      for (const { account, factor } of worth) {
        const total = rowPlace("groupRow", firstAccountRow + account, this.lanes);
        const sum = rowPlace("groupRow", tallyRow(this.plan, tally), this.lanes);
        this.product(writer, reached.has(account) ? "add_" : "", total, bench.place(this.view.resolved(factor)), sum);
        reached.add(account);
      }
    }
    return writer.tape();
  }
}
