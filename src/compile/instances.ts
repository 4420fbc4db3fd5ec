import { type Axes, axesOf } from "./axes.ts";
import type { Bound, Key } from "./bound.ts";
import type { Graph } from "./graph.ts";
import type { Program } from "./program.ts";
import type { JointState } from "./states.ts";

/** Nodes of the moment an expression is evaluated at: see the time-like nodes of `Graph`. */
export interface When {
  readonly cycle: number;
  readonly time: number;
  readonly opening: number;
}

/** The moment at which the formulas of a cycle hold. */
export function whenInCycle(graph: Graph, program: Program): When {
  const opening = graph.time("opening");
  const time = program.grid.evaluateAt === 0 ? opening : graph.time("time");
  return { cycle: graph.time("cycle"), time, opening };
}

/** The boundary that opens a cycle. */
export function whenAtBoundary(graph: Graph): When {
  const opening = graph.time("opening");
  return { cycle: graph.time("cycle"), time: opening, opening };
}

/** The start of the model. */
export function whenAtStart(graph: Graph): When {
  const zero = graph.constant(0);
  return { cycle: zero, time: zero, opening: zero };
}

/**
 * Bound expressions as nodes of a graph for one strategy: levels and clocks of the joint state are put in, formulas
 * take the place of their names, marks and inputs are those of the strategy, and shifted time is arithmetic on time.
 */
export class Instances {
  readonly graph: Graph;
  readonly strategy: number;
  private readonly program: Program;
  private readonly axes: readonly Axes[];
  private readonly known = new Map<string, number>();

  constructor(graph: Graph, program: Program, strategy: number) {
    this.graph = graph;
    this.program = program;
    this.strategy = strategy;
    const known = new Map<number, Axes>();
    this.axes = program.formulas.map((formula) => axesOf(formula.node, program.formulas, known));
  }

  /** The node of an expression for people standing in a joint state at a moment. */
  value(node: Bound, who: JointState, when: When): number {
    return this.of(node, who, when, this.strategy);
  }

  private of(node: Bound, who: JointState, when: When, strategy: number): number {
    const { graph, program } = this;
    switch (node.op) {
      case "number":
        return graph.constant(node.value);
      case "time":
        return when.time;
      case "cycle":
        return when.cycle;
      case "since":
        return graph.constant(who.clocks[node.factor]! / program.grid.cyclesPerYear);
      case "mark":
        return graph.constant(node.strategies[strategy] ? 1 : 0);
      case "attribute":
        return graph.attribute(node.attribute);
      case "test":
        return this.test(node.key, node.level, who, strategy);
      case "input": {
        const cells = program.inputs[node.input]!.offsets[node.strategy ?? strategy]!;
        return this.cell(node.key, who, strategy, (cell) => this.component(cells[cell]));
      }
      case "formula":
        return this.formula(node, who, when, strategy);
      case "table": {
        const { between, sizes } = program.tables[node.table]!;
        // the row of a stepped table is that of the cycle's opening
        const asked = between === "step" ? { ...when, time: when.opening } : when;
        const at = this.of(node.at, who, asked, strategy);
        const row = node.keys.reduce((sum, key, i) => {
          const index = this.cell(key, who, strategy, (cell) => graph.constant(cell));
          return graph.two("add", graph.two("multiply", sum, graph.constant(sizes[i]!)), index);
        }, graph.constant(0));
        return graph.table(node.table, at, row);
      }
      case "if": {
        const test = this.of(node.test, who, when, strategy);
        const settled = graph.valueOf(test);
        if (settled !== undefined) return this.of(settled !== 0 ? node.yes : node.no, who, when, strategy);
        return graph.choose(test, this.of(node.yes, who, when, strategy), this.of(node.no, who, when, strategy));
      }
      default:
        return "of" in node
          ? graph.one(node.op, this.of(node.of, who, when, strategy))
          : graph.two(node.op, this.of(node.left, who, when, strategy), this.of(node.right, who, when, strategy));
    }
  }

  private formula(node: Bound & { op: "formula" }, who: JointState, when: When, current: number): number {
    const { graph } = this;
    const strategy = node.strategy ?? current;
    let moment = when;
    if (node.lag !== null) {
      const lag = this.of(node.lag, who, when, current);
      const earlier = (time: number) => graph.two("max", graph.constant(0), graph.two("subtract", time, lag));
      moment = { cycle: when.cycle, time: earlier(when.time), opening: earlier(when.opening) };
    }
    const { factors, clocks } = this.axes[node.formula]!;
    const levels = [...factors].map((f) => who.levels[f]).join();
    const since = [...clocks].map((f) => who.clocks[f]).join();
    const key = [node.formula, strategy, levels, since, moment.cycle, moment.time, moment.opening].join("|");
    const known = this.known.get(key);
    if (known !== undefined) return known;
    const value = this.of(this.program.formulas[node.formula]!.node, who, moment, strategy);
    this.known.set(key, value);
    return value;
  }

  private component(offset: number | undefined): number {
    // a value the scenario need not give can be met only on a side that is never selected
    return offset === undefined || offset < 0 ? this.graph.constant(Number.NaN) : this.graph.component(offset);
  }

  private test(key: Key, level: number, who: JointState, strategy: number): number {
    const { graph } = this;
    if (key.by === "cell") return graph.constant(key.cell === level ? 1 : 0);
    if (key.by === "factor") return graph.constant(key.cells[who.levels[key.factor]!] === level ? 1 : 0);
    const found = this.level(key, strategy);
    const equal = key.cells.flatMap((cell, i) =>
      cell === level ? [graph.two("equal", found, graph.constant(i))] : [],
    );
    return equal.slice(1).reduce((any, one) => graph.two("or", any, one), equal[0] ?? graph.constant(0));
  }

  /** What `take` gives for the cell that a key selects; where group or draw decide, all are there to select from. */
  private cell(key: Key | null, who: JointState, strategy: number, take: (cell: number) => number): number {
    const { graph } = this;
    if (key === null) return take(0);
    if (key.by === "cell") return take(key.cell);
    if (key.by === "factor") return take(key.cells[who.levels[key.factor]!]!);
    const level = this.level(key, strategy);
    // a group has one of the levels for certain; what a row holds for a choice may be none of them
    const certain = key.by === "attribute";
    const listed = certain ? key.cells.slice(0, -1) : key.cells;
    return listed.reduceRight(
      (no, cell, index) => graph.choose(graph.two("equal", level, graph.constant(index)), take(cell), no),
      certain ? take(key.cells.at(-1)!) : graph.constant(Number.NaN),
    );
  }

  private level(key: Key & { by: "attribute" | "choice" }, strategy: number): number {
    if (key.by === "attribute") return this.graph.attribute(key.attribute);
    return this.component(this.program.inputs[key.input]!.offsets[strategy]![0]);
  }
}
