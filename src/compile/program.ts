import type { Place } from "../errors.ts";
import type { MoneyWay } from "../evidence/money.ts";
import type { Fit } from "../evidence/read-fits.ts";
import type { Component } from "../evidence/reported.ts";
import type { Between } from "../numerics/interpolate.ts";
import type { Dimension } from "../schema/dimension.ts";
import type { Document, ExpressionSource } from "../schema/document.ts";
import type { Kind, Model } from "../schema/model.ts";
import type { Scenario } from "../schema/scenario.ts";
import type { AppliedJurisdiction } from "../schema/with-jurisdiction.ts";
import type { Bound } from "./bound.ts";
import type { Scope } from "./scope.ts";
import type { Type } from "./type.ts";

/** The grid of time: `cycles` of `cycleYears`; formulas are evaluated `evaluateAt` (0 or 0.5) into a cycle. */
export interface TimeGrid {
  readonly cycleYears: number;
  readonly cyclesPerYear: number;
  readonly cycles: number;
  readonly evaluateAt: 0 | 0.5;
}

/** A care pathway of the model. */
export interface Strategy {
  readonly index: number;
  readonly id: string;
  readonly label: string;
  /** The strategy inside a sentence, `the swallowed balloon`. */
  readonly called: string;
  readonly steps: readonly string[];
}

/** A population group: its share of the starters and the values of the model's attributes (level index or number). */
export interface Group {
  readonly index: number;
  readonly id: string;
  readonly label: string;
  readonly share: number;
  readonly attributes: readonly number[];
}

/** An input with the places of its scalar components in a row: `offset[strategy][cell]`, -1 where there is none. */
export interface Input {
  readonly index: number;
  readonly name: string;
  readonly label: string;
  readonly kind: Kind;
  readonly type: Type;
  readonly byStrategy: boolean;
  readonly cells: readonly string[] | null;
  readonly choices: readonly string[] | null;
  readonly sums: boolean;
  readonly offsets: readonly (readonly number[])[];
}

/** A formula with its bound expression. */
export interface Formula {
  readonly index: number;
  readonly name: string;
  readonly node: Bound;
  readonly type: Type;
  readonly source: ExpressionSource;
}

/** A table of numbers: rising positions, one row of values for each combination of levels (mixed radix of `sizes`). */
export interface Table {
  readonly index: number;
  readonly name: string;
  readonly between: Between;
  readonly beyond: "last" | "error";
  readonly sizes: readonly number[];
  readonly x: Float64Array;
  readonly y: readonly Float64Array[];
  readonly slopes: readonly Float64Array[];
  /** How its values came to the scenario's money, where they are reported in other. */
  readonly money: MoneyWay | null;
  readonly source: ExpressionSource;
}

/** A level of a factor. `lasts` counts cycles per strategy when asked; `cap` is where a plain clock stops. */
export interface Level {
  readonly name: string;
  readonly label: string;
  readonly lasts: ExpressionSource | null;
  readonly lastsNode: Bound | null;
  readonly next: number | null;
  readonly cap: number;
}

/** One thing a person can be in: its levels, and the shares in which people start. */
export interface Factor {
  readonly index: number;
  readonly name: string;
  readonly levels: readonly Level[];
  /** Shares of the levels at the start, evaluated at time 0. */
  readonly start: readonly (Bound | null)[];
}

/** Which levels of which factors a condition admits: null admits all. */
export type Match = readonly (readonly boolean[] | null)[];

/** Levels set by a move, null where the factor stays; or death. */
export type Move = "dead" | readonly (number | null)[];

/** An amount of a resource used. */
export interface Use {
  readonly resource: number;
  readonly amount: Bound;
  readonly source: ExpressionSource;
}

/** A node of an event: the event itself or one of its branches. */
export interface Branch {
  readonly path: number;
  readonly chance: Bound | null;
  readonly rest: boolean;
  /** What happens to those who end here, moves of the branches above included. */
  readonly move: Move | null;
  readonly uses: readonly Use[];
  readonly children: readonly Branch[];
  readonly source: ExpressionSource;
}

/** When an event happens. `chance` of an instant is that of its root branch. */
export type Timing =
  | {
      readonly when: "instant";
      readonly at: readonly Bound[];
      readonly sources: readonly ExpressionSource[];
      readonly every: number | null;
      readonly from: number;
      readonly until: number | null;
      readonly shares: number | null;
    }
  | { readonly when: "rate"; readonly rate: Bound }
  | { readonly when: "crude"; readonly incidence: Bound; readonly years: number }
  | { readonly when: "chance" }
  | { readonly when: "ends"; readonly factor: number; readonly level: number }
  | { readonly when: "after"; readonly factor: number; readonly cycles: number };

/** One form of an event; forms of one event are tried in order and the first that fits applies. */
export interface EventForm {
  readonly event: number;
  readonly timing: Timing;
  readonly strategies: readonly boolean[];
  readonly match: Match;
  readonly root: Branch;
  /** True where some branch moves people. */
  readonly moves: boolean;
  /** The expression that says when it happens, where there is one; else the form. */
  readonly source: ExpressionSource;
}

/** Something used, with its price and who pays it. */
export interface Resource {
  readonly index: number;
  readonly name: string;
  readonly label: string;
  readonly unit: string;
  /** Base units in one of `unit`. */
  readonly unitSize: number;
  readonly price: Bound;
  readonly bearer: string | null;
  readonly line: string;
  readonly source: ExpressionSource;
}

/** Something counted: money, QALYs, life years, cases. */
export interface Account {
  readonly index: number;
  readonly name: string;
  readonly label: string;
  readonly unit: string;
  readonly dimension: Dimension;
  readonly isMoney: boolean;
  readonly discount: "costs" | "effects" | "none";
}

/** One line of an account as one bearer sees it. Totals of everything else are sums of entries. */
export interface Entry {
  readonly account: number;
  readonly line: string;
  readonly label: string;
  readonly bearer: string | null;
}

/** What adds to an entry. */
export type Posting =
  | {
      readonly by: "time";
      readonly entry: number;
      readonly strategies: readonly boolean[];
      readonly match: Match;
      readonly amount: Bound;
      readonly source: ExpressionSource;
    }
  | {
      readonly by: "event";
      readonly entry: number;
      readonly strategies: readonly boolean[];
      readonly match: Match;
      readonly path: number;
      readonly amount: Bound;
      readonly source: ExpressionSource;
    }
  | { readonly by: "resource"; readonly entry: number; readonly resource: number };

/** A formula shown over time as the mean of the living. */
export interface Curve {
  readonly name: string;
  readonly label: string;
  readonly unit: string;
  readonly node: Bound;
  readonly source: ExpressionSource;
}

/** How amounts over time are counted. */
export type Counting =
  | { readonly rule: "start" | "end" | "middle" | "trapezoid" }
  | { readonly rule: "boundary"; readonly weights: Float64Array; readonly name: string };

/** A yearly discount rate from `afterYears` on. */
export interface DiscountStep {
  readonly afterYears: number;
  readonly rate: number;
}

/** How the scenario wants the model analysed; years, rates per year, the scenario's currency. */
export interface Analysis {
  readonly currency: string;
  readonly priceYear: number | null;
  readonly compare: readonly number[];
  readonly reference: number;
  readonly cost: number;
  readonly effect: number;
  readonly thresholds: readonly number[];
  readonly perspective: string;
  /** Bearers of each perspective; null for the perspective that holds everything. */
  readonly perspectives: readonly { readonly name: string; readonly bearers: readonly string[] | null }[];
  readonly horizonYears: number;
  readonly followUpYears: number | null;
  readonly discount: {
    readonly costs: readonly DiscountStep[];
    readonly effects: readonly DiscountStep[];
    readonly wholeYears: boolean;
  };
  readonly counting: Counting;
  readonly eventsAt: number;
}

/** An assertion of the author. */
export interface Expectation {
  readonly name: string;
  readonly source: ExpressionSource;
  readonly within: number;
  /** What is said where it does not hold; null where that is a mistake. */
  readonly otherwise: string | null;
}

/** Everything the engine needs: the model with the scenario's data in it, names resolved, units checked. */
export interface Program {
  readonly scenario: Document<Scenario>;
  readonly jurisdiction: AppliedJurisdiction | null;
  readonly model: Document<Model>;
  readonly scope: Scope;
  readonly grid: TimeGrid;
  readonly strategies: readonly Strategy[];
  readonly groups: readonly Group[];
  readonly inputs: readonly Input[];
  readonly components: readonly Component[];
  readonly fits: readonly Fit[];
  readonly formulas: readonly Formula[];
  readonly tables: readonly Table[];
  readonly factors: readonly Factor[];
  readonly deathLabel: string;
  /** Where the model says how people start. */
  readonly startPlace: Place;
  /** Paths of all events and branches, in file order. */
  readonly paths: readonly string[];
  /** Labels that events and branches are given, by path. */
  readonly eventLabels: ReadonlyMap<string, string>;
  readonly events: readonly EventForm[];
  readonly resources: readonly Resource[];
  readonly accounts: readonly Account[];
  readonly entries: readonly Entry[];
  readonly postings: readonly Posting[];
  readonly curves: readonly Curve[];
  readonly analysis: Analysis;
  readonly expectations: readonly Expectation[];
}
