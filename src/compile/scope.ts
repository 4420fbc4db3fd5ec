import type { Place } from "../errors.ts";
import type { Bound } from "./bound.ts";
import type { Type } from "./type.ts";

/** An input as the formulas see it. */
export interface InputSymbol {
  readonly index: number;
  readonly name: string;
  readonly type: Type;
  readonly byStrategy: boolean;
  /** Names of the cells, or null for a single value. */
  readonly cells: readonly string[] | null;
  /** Names of the choices of a choice input, else null. */
  readonly choices: readonly string[] | null;
}

/** A factor as the formulas see it. */
export interface FactorSymbol {
  readonly index: number;
  readonly name: string;
  readonly levels: readonly string[];
  /** Whether each level keeps a clock. */
  readonly clocked: readonly boolean[];
}

/** An attribute of population groups. */
export interface AttributeSymbol {
  readonly index: number;
  readonly name: string;
  /** Levels of a named attribute, or null for a number. */
  readonly levels: readonly string[] | null;
  readonly type: Type;
}

/** A table as the formulas see it. */
export interface TableSymbol {
  readonly index: number;
  readonly name: string;
  readonly type: Type;
  readonly axis: { readonly name: string; readonly type: Type };
  readonly keys: readonly { readonly name: string; readonly levels: readonly string[] }[];
}

/** A formula; bound when first needed, which is how circular definitions show. */
export interface FormulaSymbol {
  readonly index: number;
  readonly name: string;
  bound(from: Place): { readonly node: Bound; readonly type: Type };
}

/** Everything a name can stand for. */
export interface Scope {
  readonly cycleYears: number;
  /** The scenario's currency; amounts of money in expressions must be in it. */
  readonly currency: string;
  readonly strategies: readonly string[];
  readonly marks: ReadonlyMap<string, readonly boolean[]>;
  readonly inputs: ReadonlyMap<string, InputSymbol>;
  readonly factors: ReadonlyMap<string, FactorSymbol>;
  readonly attributes: ReadonlyMap<string, AttributeSymbol>;
  readonly tables: ReadonlyMap<string, TableSymbol>;
  readonly formulas: ReadonlyMap<string, FormulaSymbol>;
}

/** Names that every object has in JavaScript; as names of the language they would hide what is missing. */
export const objectNames: ReadonlySet<string> = new Set([
  ...["constructor", "hasOwnProperty", "isPrototypeOf", "propertyIsEnumerable"],
  ...["toLocaleString", "toString", "valueOf"],
]);

/** Names that stand for something by themselves. */
export const reservedNames: ReadonlySet<string> = new Set([
  ...["time", "cycle", "cycle_length", "since", "alive", "dead", "rest"],
  ...["exp", "log", "sqrt", "abs", "min", "max", "floor", "hazard_of", "chance_of", "with_odds"],
  ...["and", "or", "not", "xor", "mod", "to", "in", "true", "false", "null", "undefined", "end"],
  ...objectNames,
]);

/** All names of a scope, for hints. */
export function namesOf(scope: Scope): readonly string[] {
  return [
    ...scope.inputs.keys(),
    ...scope.formulas.keys(),
    ...scope.factors.keys(),
    ...scope.attributes.keys(),
    ...scope.tables.keys(),
    ...scope.marks.keys(),
    ...["time", "cycle", "cycle_length"],
  ];
}
