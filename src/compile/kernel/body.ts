import { type GraphNode, ranges } from "../graph.ts";
import type { Count, Flow } from "../plan.ts";
import type { Code, LaneOp } from "./code.ts";
import { type Ground, type Pointers, parameters } from "./ground.ts";
import type { Part, Slot, Stages, Task } from "./stages.ts";

const inOneStep: Readonly<Record<string, LaneOp>> = {
  add: "add",
  subtract: "subtract",
  multiply: "multiply",
  divide: "divide",
  negate: "negate",
  sqrt: "root",
  abs: "absolute",
  floor: "floor",
};

const comparisons: Readonly<Record<string, LaneOp>> = {
  less: "less",
  less_or_equal: "lessOrEqual",
  greater: "greater",
  greater_or_equal: "greaterOrEqual",
  equal: "equal",
  unequal: "unequal",
};

/** Emits what a part does in one cycle. Values stay on the stack or in locals; what waits in arrays is read where used. */
export class Body {
  /** A local with lanes where a check failed, if there are checks. */
  note: number | undefined;
  private readonly code: Code;
  private readonly ground: Ground;
  private readonly pointers: Pointers;
  private readonly stages: Stages;
  private readonly outer: Stages | null;
  private readonly part: Part;
  private readonly locals = new Map<number, number>();
  private readonly sums = new Map<string, number>();

  /** `outer` are the stages whose values these borrow. */
  constructor(code: Code, ground: Ground, pointers: Pointers, stages: Stages, outer: Stages | null, part: Part) {
    this.code = code;
    this.ground = ground;
    this.pointers = pointers;
    this.stages = stages;
    this.outer = outer;
    this.part = part;
  }

  /** Emits all tasks of the part. */
  tasks(): void {
    for (const task of this.part.tasks) this.task(task);
  }

  private task(task: Task): void {
    switch (task.does) {
      case "keep":
        this.store(task.at, () => this.push(task.node));
        break;
      case "offer":
        if (this.isHere(this.ground.lens.node(task.node))) {
          this.push(task.node);
          this.code.drop();
        }
        break;
      case "check":
        this.check(task.node, ranges[task.demand]);
        break;
      case "move":
        this.move(task.target, task.flows);
        break;
      case "sum":
        this.sum(task.row, task.members);
        break;
      case "count":
        this.count(task.count);
        break;
    }
  }

  /** Pushes the value of a node. */
  private push(number: number): void {
    const { code, stages, outer, ground } = this;
    const { lens } = ground;
    const node = lens.node(number);
    const local = this.locals.get(node);
    if (local !== undefined) code.get(local);
    else if (!lens.isLate(node)) this.pointers.load(code, lens.sight.source(node));
    else if (this.isHere(node)) this.compute(node);
    else {
      const slot = stages.slot(node) ?? outer?.slot(node);
      if (slot === undefined) throw new Error(`node ${node} is nowhere`);
      code.get(this.pointers.region(slot.region)).load(16 * slot.slot);
    }
  }

  private isHere(node: number): boolean {
    return this.stages.computes(this.part, node);
  }

  private compute(node: number): void {
    const { code, stages } = this;
    this.operation(node);
    const slot = stages.slot(node);
    if (slot === undefined && (this.part.uses.get(node) ?? 0) < 2) return;
    const local = code.local("v128");
    code.tee(local);
    this.locals.set(node, local);
    if (slot !== undefined) this.store(slot, () => code.get(local));
  }

  private operation(number: number): void {
    const { code } = this;
    const { lens } = this.ground;
    const node = lens.op(number);
    const [a = 0, b = 0, c = 0] = lens.operands(number);
    const direct = inOneStep[node.op];
    if (direct !== undefined) {
      for (const operand of lens.operands(number)) this.push(operand);
      code.lanes(direct);
      return;
    }
    switch (node.op) {
      case "min":
      case "max":
        // the right one unless the left is beyond it
        this.push(b);
        this.push(a);
        code.lanes(node.op === "min" ? "lower" : "higher");
        break;
      case "if":
        this.push(b);
        this.push(c);
        this.truth(a);
        code.lanes("select");
        break;
      default:
        this.condition(node, a, b);
        code.constant(1).lanes("and");
    }
  }

  /** Pushes all bits set in the lanes where a comparison or connection of conditions holds. */
  private condition(node: GraphNode, a: number, b: number): void {
    const { code } = this;
    const comparison = comparisons[node.op];
    if (comparison !== undefined) {
      this.push(a);
      this.push(b);
      code.lanes(comparison);
      return;
    }
    switch (node.op) {
      case "and":
      case "or":
        this.truth(a);
        this.truth(b);
        code.lanes(node.op);
        break;
      case "not":
        this.push(a);
        code.constant(0).lanes("equal");
        break;
      default:
        throw new Error(`no instructions for ${node.op}`);
    }
  }

  /** Pushes all bits set in the lanes where a value is not 0. */
  private truth(number: number): void {
    const { lens } = this.ground;
    const node = lens.op(number);
    const once = this.isHere(number) && this.part.uses.get(number) === 1 && this.stages.slot(number) === undefined;
    if (once && (comparisons[node.op] !== undefined || node.op === "and" || node.op === "or" || node.op === "not")) {
      const [a = 0, b = 0] = lens.operands(number);
      this.condition(node, a, b);
      return;
    }
    this.push(number);
    this.code.constant(0).lanes("unequal");
  }

  private store({ region, slot }: Slot, value: () => void): void {
    this.code.get(this.pointers.region(region));
    value();
    this.code.store(16 * slot);
  }

  private check(number: number, [low, high]: readonly [number, number]): void {
    const { code } = this;
    const { lens } = this.ground;
    const range = lens.range(lens.node(number));
    const below = range.nan || range.low < low;
    const above = range.high > high;
    if (!below && !above) return;
    this.note ??= code.local("v128");
    const value = code.local("v128");
    this.push(number);
    code.set(value);
    if (below) code.get(value).constant(low).lanes("greaterOrEqual");
    if (above) code.get(value).constant(high).lanes("lessOrEqual");
    if (below && above) code.lanes("and");
    code.lanes("not").get(this.note).lanes("or").set(this.note);
  }

  private move(target: number, flows: readonly Flow[]): void {
    const { code, pointers } = this;
    code.get(pointers.close);
    if (flows.length === 0) code.constant(0);
    for (const [i, { coefficient, from }] of flows.entries()) {
      this.product(coefficient, () => code.get(pointers.open).load(16 * from));
      if (i > 0) code.lanes("add");
    }
    code.store(16 * target);
  }

  private sum(row: number, members: readonly number[]): void {
    const { code, pointers } = this;
    code.get(pointers.close);
    for (const [i, state] of members.entries()) {
      code.get(pointers.close).load(16 * state);
      if (i > 0) code.lanes("add");
    }
    code.store(16 * row);
  }

  private count({ tally, terms }: Count): void {
    const { code, pointers, ground } = this;
    const offset = ground.frame.tally(tally);
    code.get(parameters.frame);
    code.get(parameters.frame).load(offset);
    pointers.load(code, ground.weight(tally));
    for (const [i, { coefficient, opening, closing }] of terms.entries()) {
      this.product(coefficient, () => this.members(opening, closing));
      if (i > 0) code.lanes("add");
    }
    code.lanes("multiply").lanes("add").store(offset);
  }

  /** Pushes the members of an opening row, of a closing row, or of both. */
  private members(opening: number, closing: number): void {
    const { code, pointers } = this;
    if (opening < 0 || closing < 0) {
      code.get(opening < 0 ? pointers.close : pointers.open).load(16 * Math.max(opening, closing));
      return;
    }
    const key = `${opening} ${closing}`;
    const known = this.sums.get(key);
    if (known !== undefined) {
      code.get(known);
      return;
    }
    code.get(pointers.open).load(16 * opening);
    code
      .get(pointers.close)
      .load(16 * closing)
      .lanes("add");
    const local = code.local("v128");
    code.tee(local);
    this.sums.set(key, local);
  }

  /** Pushes a coefficient times a value; a coefficient of 1 changes no bit. */
  private product(coefficient: number, value: () => void): void {
    const { lens } = this.ground;
    const range = lens.range(lens.node(coefficient));
    if (range.low === 1 && range.high === 1 && !range.nan) {
      value();
      return;
    }
    this.push(coefficient);
    value();
    this.code.lanes("multiply");
  }
}
