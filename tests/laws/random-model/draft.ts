import type { Dice } from "./dice.ts";

/** Plain data as a YAML file holds it. */
export type Tree = string | number | boolean | readonly Tree[] | { readonly [key: string]: Tree };

/** A map of a file while it is written. */
export type Section = Record<string, Tree>;

/** How long a cycle is and how many there are. */
export interface Grid {
  readonly cycle: "1 month" | "1 year" | "1 week";
  readonly cycles: number;
}

/** A level with what it keeps: how many cycles it lasts at least, or where its clock stops. */
export interface LevelPlan {
  readonly name: string;
  readonly clock: "none" | "lasts" | "stops";
  /** Instants after which `after` can fire: up to this many cycles. */
  readonly reach: number;
}

export interface FactorPlan {
  readonly name: string;
  readonly levels: readonly LevelPlan[];
}

export interface AttributePlan {
  readonly name: string;
  /** Levels, or null for a number in `unit`. */
  readonly levels: readonly string[] | null;
  readonly unit: string;
}

/** A choice among named options; a structural one has no spread. */
export interface ChoicePlan {
  readonly name: string;
  readonly options: readonly string[];
  readonly fixed: boolean;
}

/** An input as written, for reading it again. */
export interface InputPlan {
  readonly name: string;
  /** What it is, as `wantedKey` says. */
  readonly key: string;
  readonly byStrategy: boolean;
  /** Strategies that have a value. */
  readonly strategies: readonly string[];
  readonly cells: readonly string[] | null;
  readonly fixed: boolean;
}

/** A formula as written: what it yields, and whether it sees the person's levels. */
export interface FormulaPlan {
  readonly name: string;
  readonly yields: string;
  readonly ofPerson: boolean;
  /** Whether it reads the number of the cycle, which an earlier time does not shift. */
  readonly ofCycle: boolean;
}

export interface TablePlan {
  readonly name: string;
  readonly yields: string;
  readonly axis: "time" | "age";
  readonly keys: readonly (readonly string[])[];
}

export interface ResourcePlan {
  readonly name: string;
  readonly unit: string;
}

/** For whom an expression is written: whether levels of a person can be asked, and the strategies that will read it. */
export interface Audience {
  readonly person: boolean;
  readonly strategies: readonly string[];
}

/** A case while it is written: what its parts need to know of each other, and the files' content so far. */
export class Draft {
  readonly dice: Dice;
  readonly grid: Grid;
  readonly currency: string;
  readonly strategies: readonly string[];
  readonly marks: ReadonlyMap<string, readonly string[]>;
  /** True where no instant lies after the start, as Simpson's rule demands. */
  readonly calm: boolean;
  readonly attributes: readonly AttributePlan[];
  /** True where some amounts are reported in other money than the scenario's. */
  readonly reportsOtherMoney: boolean;
  factors: readonly FactorPlan[] = [];
  readonly choices: ChoicePlan[] = [];
  readonly inputs: InputPlan[] = [];
  readonly formulas: FormulaPlan[] = [];
  readonly tables: TablePlan[] = [];
  readonly resources: ResourcePlan[] = [];
  /** Paths of events and branches. */
  readonly paths: string[] = [];

  readonly declared: Section = {};
  readonly evidence: Section = {};
  readonly tableDeclarations: Section = {};
  readonly tableData: Section = {};
  readonly formulaTexts: Section = {};
  readonly alternatives: Section = {};
  /** Courses fitted to points. */
  readonly courses: Section = {};
  /** Columns of the file of joint draws. */
  readonly joint = new Map<string, readonly number[]>();
  /** Files beside model and scenario. */
  readonly files = new Map<string, string>();

  private readonly used = new Map<string, number>();

  constructor(
    dice: Dice,
    outline: {
      readonly grid: Grid;
      readonly currency: string;
      readonly strategies: readonly string[];
      readonly marks: ReadonlyMap<string, readonly string[]>;
      readonly calm: boolean;
      readonly attributes: readonly AttributePlan[];
      readonly reportsOtherMoney: boolean;
    },
  ) {
    this.dice = dice;
    this.grid = outline.grid;
    this.currency = outline.currency;
    this.strategies = outline.strategies;
    this.marks = outline.marks;
    this.calm = outline.calm;
    this.attributes = outline.attributes;
    this.reportsOtherMoney = outline.reportsOtherMoney;
  }

  /** A name that is not taken yet. */
  name(word: string): string {
    const count = (this.used.get(word) ?? 0) + 1;
    this.used.set(word, count);
    return `${word}_${count}`;
  }

  /** Everybody's audience: all strategies, with or without a person. */
  everyone(person: boolean): Audience {
    return { person, strategies: this.strategies };
  }

  /** A length of time of whole cycles, in one of the units that fit. */
  span(cycles: number): string {
    const units = {
      "1 month": [`${cycles} months`, `${cycles} cycles`],
      "1 year": [`${cycles} years`, `${12 * cycles} months`, `${cycles} cycles`],
      "1 week": [`${cycles} weeks`, `${7 * cycles} days`, `${cycles} cycles`],
    }[this.grid.cycle];
    return this.dice.one(units);
  }

  /** Some of the strategies, at least one. */
  someStrategies(): readonly string[] {
    return this.dice.some(this.strategies, 1, this.strategies.length);
  }
}
