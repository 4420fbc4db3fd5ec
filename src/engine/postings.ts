import type { Bound } from "../compile/bound.ts";
import type { Branch, Match, Posting, Program } from "../compile/program.ts";
import type { Movement } from "../compile/states.ts";
import type { ExpressionSource } from "../schema/document.ts";
import type { Asked } from "./asked.ts";
import type { Kind, Standing } from "./combination.ts";
import type { FormulaValues } from "./formula-value.ts";

/** An expression of an amount, with where it is written. */
export interface Amount {
  readonly asked: Asked;
  readonly source: ExpressionSource;
}

/** An amount of an entry. */
export interface Line {
  readonly entry: number;
  readonly amount: Amount;
}

/** An amount that accrues over time to all who stand alike in what it depends on. */
export interface LineOverTime extends Line, Kind {}

/** What is booked of a node of an event. */
export interface Booked {
  readonly path: number;
  readonly uses: readonly {
    readonly resource: number;
    readonly amount: Amount;
    readonly price: Amount;
    readonly entries: readonly number[];
  }[];
  readonly lines: readonly Line[];
}

type OverTime = Posting & { by: "time" };
type OnEvent = Posting & { by: "event" };

/** Finds what is to be booked under one strategy, whatever the row of inputs. */
export class Postings {
  private readonly program: Program;
  private readonly movement: Movement;
  private readonly overTime: readonly OverTime[];
  private readonly onPath: readonly (readonly OnEvent[])[];
  private readonly onResource: readonly (readonly number[])[];

  constructor(program: Program, movement: Movement) {
    this.program = program;
    this.movement = movement;
    const s = movement.strategy;
    const { postings } = program;
    this.overTime = postings.filter((one): one is OverTime => one.by === "time" && one.strategies[s]!);
    this.onPath = program.paths.map((_, path) => postings.filter((one): one is OnEvent => isOn(one, path)));
    this.onResource = program.resources.map((_, resource) =>
      postings.flatMap((one) => (one.by === "resource" && one.resource === resource ? [one.entry] : [])),
    );
  }

  /** The lines over time that apply to people standing in a state, as yearly amounts. */
  lines(who: Standing, values: FormulaValues): readonly LineOverTime[] {
    return this.overTime.flatMap((one, order) => {
      if (!this.movement.admits(one.match, who)) return [];
      return [{ ...line(one, who, values), order, key: values.keyOf(one.amount, who) }];
    });
  }

  /** What is booked of a node for people standing in a state. */
  booked(branch: Branch, who: Standing, values: FormulaValues): Booked {
    const s = this.movement.strategy;
    const lines = this.onPath[branch.path]!.filter((one) => one.strategies[s] && this.movement.admits(one.match, who));
    return {
      path: branch.path,
      uses: branch.uses.map(({ resource, amount, source }) => {
        const { price, source: priceSource } = this.program.resources[resource]!;
        return {
          resource,
          amount: { asked: values.asked(amount, who), source },
          price: { asked: values.asked(price, who), source: priceSource },
          entries: this.onResource[resource]!,
        };
      }),
      lines: lines.map((one) => line(one, who, values)),
    };
  }

  /** The expressions and conditions on which what is booked of a node depends, under any strategy. */
  readOf(branch: Branch): { readonly nodes: readonly Bound[]; readonly matches: readonly Match[] } {
    const lines = this.onPath[branch.path]!;
    const uses = branch.uses.flatMap(({ resource, amount }) => [amount, this.program.resources[resource]!.price]);
    return { nodes: [...uses, ...lines.map(({ amount }) => amount)], matches: lines.map(({ match }) => match) };
  }
}

function isOn(posting: Posting, path: number): boolean {
  return posting.by === "event" && posting.path === path;
}

function line({ entry, amount, source }: OverTime | OnEvent, who: Standing, values: FormulaValues): Line {
  return { entry, amount: { asked: values.asked(amount, who), source } };
}
