import type { GraphNode } from "../graph.ts";
import type { Code, LaneOp } from "./code.ts";
import type { Ground, Pointers } from "./ground.ts";
import type { Source } from "./lens.ts";
import type { Part, Slot, Stages } from "./stages.ts";

const inOneStep: Readonly<Record<string, LaneOp>> = {
  add: "add",
  subtract: "subtract",
  multiply: "multiply",
  divide: "divide",
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

/** Bytes of instructions for which a value that was read stays at hand; then reading it again costs less than keeping it. */
const atHand = 300;

/** Emits the values of nodes in one part, each computed where it is first needed. */
export class Values {
  private readonly code: Code;
  private readonly ground: Ground;
  private readonly pointers: Pointers;
  private readonly stages: Stages;
  private readonly part: Part;
  private readonly locals = new Map<number, number>();
  private readonly recent = new Map<string, { readonly local: number; used: number }>();

  constructor(code: Code, ground: Ground, pointers: Pointers, stages: Stages, part: Part) {
    this.code = code;
    this.ground = ground;
    this.pointers = pointers;
    this.stages = stages;
    this.part = part;
  }

  /** Pushes the value of a node. */
  push(number: number): void {
    const { code, stages, ground } = this;
    const { lens } = ground;
    const node = lens.node(number);
    const local = this.locals.get(node);
    if (local !== undefined) code.get(local);
    else if (!lens.isLate(node)) this.source(lens.sight.source(node));
    else if (this.isHere(node)) this.compute(node);
    else {
      const slot = stages.slotOfAny(node);
      if (slot === undefined) throw new Error(`node ${node} is nowhere`);
      this.read(`node ${node}`, () => code.get(this.pointers.region(slot.region)).load(16 * slot.slot));
    }
  }

  /** True where the part computes a node. */
  isHere(node: number): boolean {
    return this.stages.computes(this.part, node);
  }

  /** Pushes what lies at a source. */
  source(source: Source): void {
    this.read(`${source.region} ${source.position}`, () => this.pointers.load(this.code, source));
  }

  /** Pushes what a name stands for: from a local where it is at hand, else as `load` does. */
  read(name: string, load: () => void): void {
    const { code } = this;
    const known = this.recent.get(name);
    if (known !== undefined && code.length - known.used < atHand) {
      known.used = code.length;
      code.get(known.local);
      return;
    }
    load();
    code.tee(this.keep(name));
  }

  /** The local that keeps what a name stands for at hand. */
  keep(name: string): number {
    const local = this.recent.get(name)?.local ?? this.code.local("v128");
    this.recent.set(name, { local, used: this.code.length });
    return local;
  }

  /** Stores a value in an array. */
  store({ region, slot }: Slot, value: () => void): void {
    this.code.get(this.pointers.region(region));
    value();
    this.code.store(16 * slot);
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
      case "negate":
        // the mask stays in a register, which the instruction for it would load anew each time
        this.push(a);
        code.pattern(0x80000000, 0).lanes("xor");
        break;
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
    if (!lens.isLate(number)) {
      const source = lens.sight.source(number);
      const { region } = source;
      if (region === "row" || region === "groupRow") {
        const load = (): void => this.pointers.loadTruth(this.code, { ...source, region });
        this.read(`truth of ${region} ${source.position}`, load);
        return;
      }
    }
    this.push(number);
    this.code.constant(0).lanes("unequal");
  }
}
