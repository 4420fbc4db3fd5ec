import type { Binary, Bound, Key } from "../compile/bound.ts";
import { apply } from "../compile/operators.ts";
import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { interpolated } from "../numerics/interpolate.ts";
import { Combinations, kept, type Standing } from "./combination.ts";

/** When an expression is evaluated. Times in years. */
export interface Moment {
  readonly cycle: number;
  /** Where in the cycle formulas hold. */
  readonly time: number;
  /** The opening of the cycle, for clocks and table rows. */
  readonly startTime: number;
}

/**
 * What is left of an expression once row, strategy, group and standing are known: a number, what is asked at the present
 * moment, or what takes the moment.
 */
type Rest = number | Asked | ((when: Moment) => number);

/** An expression for all who stand alike in what it depends on; its value is kept as long as it holds. */
export class Asked {
  /** False where the value is the same at all times. */
  readonly varies: boolean;
  readonly rest: Rest;
  private readonly values: FormulaValues;
  private kept = 0;
  private keptUntil = -1;

  constructor(values: FormulaValues, rest: Rest, varies: boolean) {
    this.values = values;
    this.rest = rest;
    this.varies = varies && typeof rest !== "number";
  }

  /** The value at the moment of the values. Throws table-range. */
  now(): number {
    if (this.keptUntil < this.values.turn) {
      this.kept = at(this.rest, this.values.moment);
      this.keptUntil = this.varies ? this.values.turn : Number.MAX_SAFE_INTEGER;
    }
    return this.kept;
  }
}

/**
 * Values of expressions for one row of inputs, one strategy and one group. A bound tree is walked once for all who stand
 * alike in what it depends on; what then still depends on time is evaluated once per moment.
 */
export class FormulaValues {
  readonly program: Program;
  readonly row: Float64Array;
  readonly strategy: number;
  readonly group: number;
  moment: Moment = { cycle: 0, time: 0, startTime: 0 };
  /** Counts moments: what varies with time holds until it changes. */
  turn = 0;
  private readonly combinations: Combinations;
  /** Per strategy and expression, one for each combination of what it depends on. */
  private readonly presentTime = new Asked(this, (when) => when.time, true);
  private readonly asks: readonly Map<Bound, Map<number | string, Asked>>[];
  private readonly atOtherTimes: readonly Map<Bound, Map<number | string, Rest>>[];

  /** `combinations` may be shared by all values of a program. */
  constructor(
    program: Program,
    row: Float64Array,
    strategy: number,
    group: number,
    combinations = new Combinations(program),
  ) {
    this.program = program;
    this.row = row;
    this.strategy = strategy;
    this.group = group;
    this.combinations = combinations;
    this.asks = program.strategies.map(() => new Map());
    this.atOtherTimes = program.strategies.map(() => new Map());
  }

  /** Moves to another moment; what varies with time is forgotten. */
  at(moment: Moment): void {
    this.moment = moment;
    this.turn += 1;
  }

  /** The value of an expression for a person standing in a joint state, now. Throws table-range. */
  value(node: Bound, who: Standing): number {
    return this.asked(node, who).now();
  }

  /** An expression for a person standing in a joint state, to be asked at many moments. */
  asked(node: Bound, who: Standing): Asked {
    return this.askedOf(node, who, this.strategy);
  }

  private askedOf(node: Bound, who: Standing, strategy: number): Asked {
    const { varies, key } = this.combinations.of(node);
    let alike = this.asks[strategy]!.get(node);
    if (alike === undefined) {
      alike = new Map();
      this.asks[strategy]!.set(node, alike);
    }
    const place = key(who);
    const known = alike.get(place);
    if (known !== undefined) return known;
    const asked = new Asked(this, this.rest(node, who, strategy, true), varies);
    alike.set(place, asked);
    return asked;
  }

  /** `present` is false below a shift in time, where values of this moment are of no use. */
  private rest(node: Bound, who: Standing, strategy: number, present: boolean): Rest {
    switch (node.op) {
      case "number":
        return node.value;
      case "time":
        return present ? this.presentTime : (when) => when.time;
      case "cycle":
        return (when) => when.cycle;
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
        const offset = this.program.inputs[node.input]!.offsets[node.strategy ?? strategy]![cell]!;
        return this.row[offset] ?? Number.NaN;
      }
      case "formula":
        return this.formula(node, who, strategy, present);
      case "table":
        return this.table(node, who, strategy, present);
      case "if": {
        const test = this.rest(node.test, who, strategy, present);
        if (typeof test === "number") return this.rest(test !== 0 ? node.yes : node.no, who, strategy, present);
        const yes = this.rest(node.yes, who, strategy, present);
        const no = this.rest(node.no, who, strategy, present);
        return (when) => (at(test, when) !== 0 ? at(yes, when) : at(no, when));
      }
      default: {
        const { op } = node;
        if ("of" in node) {
          const of = this.rest(node.of, who, strategy, present);
          return typeof of === "number" ? apply(op, of, 0) : (when) => apply(op, at(of, when), 0);
        }
        const left = this.rest(node.left, who, strategy, present);
        const right = this.rest(node.right, who, strategy, present);
        if (typeof left === "number" && typeof right === "number") return apply(op, left, right);
        return ofBoth(node.op, left, right);
      }
    }
  }

  private formula(node: Bound & { op: "formula" }, who: Standing, strategy: number, present: boolean): Rest {
    const inner = this.program.formulas[node.formula]!.node;
    if (node.lag !== null) {
      const lag = this.rest(node.lag, who, strategy, present);
      const then = this.atOtherTime(inner, who, strategy);
      if (typeof lag === "number" && typeof then === "number") return then;
      return (when) => {
        const shift = at(lag, when);
        const time = Math.max(0, when.time - shift);
        return at(then, { cycle: when.cycle, time, startTime: Math.max(0, when.startTime - shift) });
      };
    }
    if (!present) return this.atOtherTime(inner, who, node.strategy ?? strategy);
    const asked = this.askedOf(inner, who, node.strategy ?? strategy);
    return typeof asked.rest === "number" ? asked.rest : asked;
  }

  private atOtherTime(inner: Bound, who: Standing, strategy: number): Rest {
    const { key } = this.combinations.of(inner);
    const alike = kept(this.atOtherTimes[strategy]!, inner, () => new Map());
    return kept(alike, key(who), () => this.rest(inner, who, strategy, false));
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

  private table(node: Bound & { op: "table" }, who: Standing, strategy: number, present: boolean): Rest {
    const { between, beyond, x, y, slopes, sizes, source, name } = this.program.tables[node.table]!;
    const position = this.rest(node.at, who, strategy, present);
    // the row of a stepped table is that of the cycle's opening
    const opening = between === "step" ? this.rest(node.at, who, strategy, false) : position;
    let combination = 0;
    for (const [i, key] of node.keys.entries()) combination = combination * sizes[i]! + this.cell(key, who, strategy);
    const last = x[x.length - 1]!;
    return (when) => {
      const early = between === "step" && when.startTime !== when.time;
      const { cycle, startTime } = when;
      const asked = early ? at(opening, { cycle, time: startTime, startTime }) : at(position, when);
      if (beyond === "error" && (asked < x[0]! || asked > last))
        throw inputError(source.place, "table-range", name, String(asked), `${x[0]} to ${last}`);
      return interpolated(between, x, y[combination]!, slopes[combination]!, asked);
    };
  }
}

/** The commonest operators have a function of their own, which saves choosing among all at each moment. */
function ofBoth(op: Binary, left: Rest, right: Rest): Rest {
  switch (op) {
    case "add":
      return (when) => at(left, when) + at(right, when);
    case "subtract":
      return (when) => at(left, when) - at(right, when);
    case "multiply":
      return (when) => at(left, when) * at(right, when);
    case "divide":
      return (when) => at(left, when) / at(right, when);
    default:
      return (when) => apply(op, at(left, when), at(right, when));
  }
}

function at(rest: Rest, when: Moment): number {
  if (typeof rest === "number") return rest;
  return typeof rest === "function" ? rest(when) : rest.now();
}
