import { type Axes, axesOf } from "../compile/axes.ts";
import type { Bound, Key } from "../compile/bound.ts";
import { apply } from "../compile/operators.ts";
import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { interpolated } from "../numerics/interpolate.ts";

/** For whom and when an expression is evaluated. Times in years; levels and clocks are those of the joint state. */
export interface Moment {
  readonly cycle: number;
  /** Where in the cycle formulas hold. */
  readonly time: number;
  /** The opening of the cycle, for clocks and table rows. */
  readonly startTime: number;
}

/** The person's joint state, as far as expressions can see it. */
export interface Standing {
  readonly levels: readonly number[];
  readonly clocks: readonly number[];
}

/**
 * Values of expressions for one row of inputs, one strategy and one group: walks the bound trees, one value at a time.
 * Formulas are evaluated once per moment and combination of the levels and clocks they depend on.
 */
export class FormulaValues {
  private readonly axes: readonly Axes[];
  private readonly memo: Map<number, number>[];
  private moment: Moment = { cycle: 0, time: 0, startTime: 0 };

  readonly program: Program;
  readonly row: Float64Array;
  readonly strategy: number;
  readonly group: number;

  constructor(program: Program, row: Float64Array, strategy: number, group: number) {
    this.program = program;
    this.row = row;
    this.strategy = strategy;
    this.group = group;
    const known = new Map<number, Axes>();
    this.axes = this.program.formulas.map((formula) => axesOf(formula.node, this.program.formulas, known));
    this.memo = this.program.formulas.map(() => new Map());
  }

  /** Moves to another moment; what varies with time is forgotten. */
  at(moment: Moment): void {
    this.moment = moment;
    for (const [f, axes] of this.axes.entries()) if (axes.cycle) this.memo[f]!.clear();
  }

  /** The value of an expression for a person standing in a joint state, now. */
  value(node: Bound, who: Standing): number {
    return this.evaluate(node, who, this.moment, this.strategy, true);
  }

  private evaluate(node: Bound, who: Standing, when: Moment, strategy: number, plain: boolean): number {
    switch (node.op) {
      case "number":
        return node.value;
      case "time":
        return when.time;
      case "cycle":
        return when.cycle;
      case "since":
        return who.clocks[node.factor]! / this.program.grid.cyclesPerYear;
      case "mark":
        return node.strategies[strategy] ? 1 : 0;
      case "attribute":
        return this.program.groups[this.group]!.attributes[node.attribute]!;
      case "test":
        return this.cell(node.key, who, strategy) === node.level ? 1 : 0;
      case "input": {
        const cell = node.key === null ? 0 : this.cell(node.key, who, strategy);
        return this.row[this.program.inputs[node.input]!.offsets[node.strategy ?? strategy]![cell]!]!;
      }
      case "formula": {
        const inner = this.program.formulas[node.formula]!.node;
        if (node.lag !== null) {
          const lag = this.evaluate(node.lag, who, when, strategy, plain);
          const earlier = {
            cycle: when.cycle,
            time: Math.max(0, when.time - lag),
            startTime: Math.max(0, when.startTime - lag),
          };
          return this.evaluate(inner, who, earlier, strategy, false);
        }
        if (node.strategy !== null && node.strategy !== strategy)
          return this.evaluate(inner, who, when, node.strategy, false);
        if (!plain) return this.evaluate(inner, who, when, strategy, false);
        return this.remembered(node.formula, inner, who, when, strategy);
      }
      case "table":
        return this.tableValue(node, who, when, strategy, plain);
      case "if":
        return this.evaluate(node.test, who, when, strategy, plain) !== 0
          ? this.evaluate(node.yes, who, when, strategy, plain)
          : this.evaluate(node.no, who, when, strategy, plain);
      default: {
        if ("of" in node) return apply(node.op, this.evaluate(node.of, who, when, strategy, plain), 0);
        const left = this.evaluate(node.left, who, when, strategy, plain);
        return apply(node.op, left, this.evaluate(node.right, who, when, strategy, plain));
      }
    }
  }

  private remembered(formula: number, inner: Bound, who: Standing, when: Moment, strategy: number): number {
    const axes = this.axes[formula]!;
    let key = 0;
    for (const f of axes.factors) key = key * 64 + who.levels[f]!;
    for (const f of axes.clocks) key = key * 1024 + who.clocks[f]!;
    const memo = this.memo[formula]!;
    const known = memo.get(key);
    if (known !== undefined) return known;
    const value = this.evaluate(inner, who, when, strategy, true);
    memo.set(key, value);
    return value;
  }

  private cell(key: Key, who: Standing, strategy: number): number {
    switch (key.by) {
      case "factor":
        return key.cells[who.levels[key.factor]!]!;
      case "attribute":
        return key.cells[this.program.groups[this.group]!.attributes[key.attribute]!]!;
      case "choice":
        return key.cells[this.row[this.program.inputs[key.input]!.offsets[strategy]![0]!]!]!;
      case "cell":
        return key.cell;
    }
  }

  private tableValue(
    node: Bound & { op: "table" },
    who: Standing,
    when: Moment,
    strategy: number,
    plain: boolean,
  ): number {
    const table = this.program.tables[node.table]!;
    // the row of a stepped table is that of the cycle's opening
    const atStart = table.between === "step" && when.startTime !== when.time;
    const asked = atStart ? { ...when, time: when.startTime } : when;
    const at = this.evaluate(node.at, who, asked, strategy, plain && !atStart);
    const last = table.x[table.x.length - 1]!;
    if (table.beyond === "error" && (at < table.x[0]! || at > last)) {
      throw inputError(table.source.place, "table-range", table.name, String(at), `${table.x[0]} to ${last}`);
    }
    let combination = 0;
    for (const [i, key] of node.keys.entries())
      combination = combination * table.sizes[i]! + this.cell(key, who, strategy);
    return interpolated(table.between, table.x, table.y[combination]!, table.slopes[combination]!, at);
  }
}
