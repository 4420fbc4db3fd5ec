import { type Alike, alikeIn, alikeInAll } from "../compile/alike.ts";
import type { Binary, Bound, Key } from "../compile/bound.ts";
import { apply } from "../compile/operators.ts";
import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { interpolated } from "../numerics/interpolate.ts";
import { Asked, type Compute } from "./asked.ts";
import { Combinations, kept, type Standing } from "./combination.ts";

/** When an expression is evaluated. Times in years. */
export interface Moment {
  readonly cycle: number;
  /** Where in the cycle formulas hold. */
  readonly time: number;
  /** The opening of the cycle, for clocks and table rows. */
  readonly startTime: number;
}

/** The time that expressions see: the present, or an earlier one below a shift. */
interface Clock {
  readonly time: Asked;
  readonly opening: Asked;
  /** Per strategy and expression, one for each combination of what it depends on. */
  readonly asks: readonly Map<Bound, Map<number | string, Asked>>[];
}

/**
 * Values of expressions for one row of inputs and one strategy, for several groups side by side. A bound tree is walked
 * once for all who stand alike in what it depends on; what comes out of the same operation on the same operands is there
 * once, and what then still depends on time is evaluated once per moment.
 */
export class FormulaValues {
  readonly program: Program;
  readonly row: Float64Array;
  readonly strategy: number;
  /** Number of groups. */
  readonly lanes: number;
  turn = 0;
  private moment: Moment = { cycle: 0, time: 0, startTime: 0 };
  /** By lane. */
  private readonly groups: readonly number[];
  /** All lanes are alike. */
  private readonly together: Alike;
  private readonly combinations: Combinations;
  private readonly known = new Map<string, Asked>();
  private readonly clocks = new Map<string, Clock>();
  private readonly cycle: Asked;
  private readonly present: Clock;

  /** `combinations` may be shared by all values of a program. */
  constructor(
    program: Program,
    row: Float64Array,
    strategy: number,
    groups: readonly number[],
    combinations = new Combinations(program),
  ) {
    this.program = program;
    this.row = row;
    this.strategy = strategy;
    this.groups = groups;
    this.lanes = groups.length;
    this.together = groups.map(() => 0);
    this.combinations = combinations;
    this.cycle = this.leaf("cycle", true, () => this.moment.cycle);
    this.present = this.clock(
      this.leaf("time", true, () => this.moment.time),
      this.leaf("opening", true, () => this.moment.startTime),
    );
  }

  /** Moves to another moment; what varies with time is forgotten. */
  at(moment: Moment): void {
    this.moment = moment;
    this.turn += 1;
  }

  /** The values of an expression for a person standing in a joint state, now, by group. Throws table-range. */
  value(node: Bound, who: Standing): Float64Array {
    return this.asked(node, who).now();
  }

  /** An expression for a person standing in a joint state, to be asked at many moments. */
  asked(node: Bound, who: Standing): Asked {
    return this.askedOf(node, who, this.strategy, this.present);
  }

  /** The same for all who stand alike in what an expression depends on. */
  keyOf(node: Bound, who: Standing): number | string {
    return this.combinations.of(node).key(who);
  }

  private askedOf(node: Bound, who: Standing, strategy: number, clock: Clock): Asked {
    const asks = clock.asks[strategy]!;
    let alike = asks.get(node);
    if (alike === undefined) {
      alike = new Map();
      asks.set(node, alike);
    }
    return kept(alike, this.keyOf(node, who), () => this.walked(node, who, strategy, clock));
  }

  private walked(node: Bound, who: Standing, strategy: number, clock: Clock): Asked {
    switch (node.op) {
      case "number":
        return this.constant(node.value);
      case "time":
        return clock.time;
      case "cycle":
        return this.cycle;
      case "since":
        return this.constant(who.clocks[node.factor]! / this.program.grid.cyclesPerYear);
      case "mark":
        return this.constant(node.strategies[strategy] ? 1 : 0);
      case "attribute":
        return this.leaf(`attribute ${node.attribute}`, false, (group) => this.attribute(group, node.attribute));
      case "test": {
        const cells = this.cells(node.key, who, strategy);
        return this.leaf(`is ${node.level} ${cells}`, false, (_, lane) => (cellOf(cells, lane) === node.level ? 1 : 0));
      }
      case "input": {
        const cells = node.key === null ? 0 : this.cells(node.key, who, strategy);
        const offsets = this.program.inputs[node.input]!.offsets[node.strategy ?? strategy]!;
        const key = typeof cells === "number" ? offsets[cells] : cells.map((cell) => offsets[cell]);
        return this.leaf(`row ${key}`, false, (_, lane) => this.row[offsets[cellOf(cells, lane)]!] ?? Number.NaN);
      }
      case "formula": {
        const then = node.lag === null ? clock : this.earlier(node.lag, who, strategy, clock);
        return this.askedOf(this.program.formulas[node.formula]!.node, who, node.strategy ?? strategy, then);
      }
      case "table":
        return this.table(node, who, strategy, clock);
      case "if":
        return this.choice(node, who, strategy, clock);
      default: {
        if (!("of" in node)) {
          const left = this.walked(node.left, who, strategy, clock);
          return this.node(node.op, [left, this.walked(node.right, who, strategy, clock)], ofBoth);
        }
        const { op } = node;
        return this.node(op, [this.walked(node.of, who, strategy, clock)], (_, of) => (values, alike) => {
          const a = of.now();
          for (let g = 0; g < values.length; g++) values[g] = alike[g]! < g ? values[alike[g]!]! : apply(op, a[g]!, 0);
        });
      }
    }
  }

  private clock(time: Asked, opening: Asked): Clock {
    return kept(this.clocks, `${time.number} ${opening.number}`, () => ({
      time,
      opening,
      asks: this.program.strategies.map(() => new Map()),
    }));
  }

  /** The time some years ago, at the earliest the start. */
  private earlier(lag: Bound, who: Standing, strategy: number, clock: Clock): Clock {
    const shift = this.walked(lag, who, strategy, clock);
    const ago = (time: Asked): Asked =>
      this.node("ago", [time, shift], () => (values) => {
        const [then, by] = [time.now(), shift.now()];
        for (let g = 0; g < values.length; g++) values[g] = Math.max(0, then[g]! - by[g]!);
      });
    return this.clock(ago(clock.time), ago(clock.opening));
  }

  /** Only the sides that some group takes are evaluated. */
  private choice(node: Bound & { op: "if" }, who: Standing, strategy: number, clock: Clock): Asked {
    const test = this.walked(node.test, who, strategy, clock);
    const side = (taken: Bound): Asked => this.walked(taken, who, strategy, clock);
    if (test.isKnown && test.now().every((one) => one !== 0)) return side(node.yes);
    if (test.isKnown && test.now().every((one) => one === 0)) return side(node.no);
    const [yes, no] = [side(node.yes), side(node.no)];
    return this.node("if", [test, yes, no], () => (values) => {
      const tests = test.now();
      if (tests.some((one) => one !== 0)) values.set(yes.now());
      if (tests.every((one) => one !== 0)) return;
      const otherwise = no.now();
      for (let g = 0; g < values.length; g++) if (tests[g] === 0) values[g] = otherwise[g]!;
    });
  }

  private table(node: Bound & { op: "table" }, who: Standing, strategy: number, clock: Clock): Asked {
    const { between, beyond, x, y, slopes, sizes, source, name } = this.program.tables[node.table]!;
    // the row of a stepped table is that of the cycle's opening
    const opened = between === "step" ? this.clock(clock.opening, clock.opening) : clock;
    const position = this.walked(node.at, who, strategy, opened);
    const keys = node.keys.map((key) => this.cells(key, who, strategy));
    const combinations = this.groups.map((_, lane) =>
      keys.reduce<number>((sum, cells, i) => sum * sizes[i]! + cellOf(cells, lane), 0),
    );
    const last = x[x.length - 1]!;
    const key = `table ${node.table} ${combinations}`;
    const alike = (): Alike => alikeInAll([position.alike, alikeIn(combinations)]);
    return this.unknown(key, [position], alike, position.varies, (values, alike) => {
      const asked = position.now();
      for (let g = 0; g < values.length; g++) {
        if (alike[g]! < g) {
          values[g] = values[alike[g]!]!;
          continue;
        }
        const at = asked[g]!;
        if (beyond === "error" && (at < x[0]! || at > last))
          throw inputError(source.place, "table-range", name, String(at), `${x[0]} to ${last}`);
        const combination = combinations[g]!;
        values[g] = interpolated(between, x, y[combination]!, slopes[combination]!, at);
      }
    });
  }

  /** What a key selects: for everybody, or by lane where it is an attribute. */
  private cells(key: Key, who: Standing, strategy: number): number | readonly number[] {
    switch (key.by) {
      case "factor":
        return key.cells[who.levels[key.factor]!]!;
      case "attribute":
        return this.groups.map((group) => key.cells[this.attribute(group, key.attribute)]!);
      case "choice":
        return key.cells[this.row[this.program.inputs[key.input]!.offsets[strategy]![0]!]!]!;
      case "cell":
        return key.cell;
    }
  }

  private attribute(group: number, attribute: number): number {
    return this.program.groups[group]!.attributes[attribute]!;
  }

  private constant(value: number): Asked {
    return this.leaf(Object.is(value, -0) ? "-0" : String(value), false, () => value);
  }

  /** A value without operands: the same for all groups where it `varies` with time. */
  private leaf(key: string, varies: boolean, value: (group: number, lane: number) => number): Asked {
    const alike = (): Alike => (varies ? this.together : alikeIn(this.groups.map(value)));
    const found = this.unknown(key, [], alike, varies, (values) => {
      for (let g = 0; g < values.length; g++) values[g] = value(this.groups[g]!, g);
    });
    if (!varies) found.now();
    return found;
  }

  /** An operation; where its operands are known so is the result. */
  private node(op: string, operands: readonly Asked[], compute: (op: never, a: Asked, b: Asked) => Compute): Asked {
    const [a, b] = [operands[0]!, operands.at(-1)!];
    const varies = operands.some((operand) => operand.varies);
    const alike = (): Alike => alikeInAll(operands.map((operand) => operand.alike));
    const found = this.unknown(op, operands, alike, varies, compute(op as never, a, b));
    if (operands.every(({ isKnown }) => isKnown)) found.now();
    return found;
  }

  private unknown(
    operation: string,
    operands: readonly Asked[],
    alike: () => Alike,
    varies: boolean,
    compute: Compute,
  ): Asked {
    const key = `${operation} of ${operands.map(({ number }) => number)}`;
    return kept(this.known, key, () => new Asked(this.known.size, this, alike(), varies, compute));
  }
}

function cellOf(cells: number | readonly number[], lane: number): number {
  return typeof cells === "number" ? cells : cells[lane]!;
}

/**
 * The commonest operators have a loop of their own, which saves choosing among all at each moment; what takes longer is
 * done once for lanes that are alike.
 */
function ofBoth(op: Binary, left: Asked, right: Asked): Compute {
  switch (op) {
    case "add":
      return (values) => {
        const a = left.now();
        const b = right.now();
        for (let g = 0; g < values.length; g++) values[g] = a[g]! + b[g]!;
      };
    case "subtract":
      return (values) => {
        const a = left.now();
        const b = right.now();
        for (let g = 0; g < values.length; g++) values[g] = a[g]! - b[g]!;
      };
    case "multiply":
      return (values) => {
        const a = left.now();
        const b = right.now();
        for (let g = 0; g < values.length; g++) values[g] = a[g]! * b[g]!;
      };
    case "divide":
      return (values) => {
        const a = left.now();
        const b = right.now();
        for (let g = 0; g < values.length; g++) values[g] = a[g]! / b[g]!;
      };
    default:
      return (values, alike) => {
        const a = left.now();
        const b = right.now();
        for (let g = 0; g < values.length; g++)
          values[g] = alike[g]! < g ? values[alike[g]!]! : apply(op, a[g]!, b[g]!);
      };
  }
}
