import { inputError, type Place } from "../errors.ts";
import { isFixed } from "../evidence/reported.ts";
import type { Bound, Key } from "./bound.ts";
import { apply } from "./operators.ts";
import type { Program } from "./program.ts";

/** For whom a structural value is asked; null where it may not depend on it. */
interface Whom {
  readonly strategy: number;
  readonly group: number | null;
}

/**
 * The value of an expression that sets structure (an instant, how long a level lasts): it may depend on strategy, group
 * and inputs without spread only. Throws draw-dependent, name-misused.
 */
export function structuralValue(program: Program, node: Bound, whom: Whom, what: string, place: Place): number {
  const refused = (instead: string) => inputError(place, "name-misused", what, "a part of the structure", instead);
  const cellOf = (key: Key | null): number => {
    if (key === null) return 0;
    if (key.by === "cell") return key.cell;
    if (key.by === "attribute" && whom.group !== null)
      return key.cells[program.groups[whom.group]!.attributes[key.attribute]!]!;
    if (key.by === "choice") return key.cells[input(key.input, whom.strategy, 0)]!;
    throw refused("let it depend on strategy, group and fixed inputs only");
  };
  const input = (index: number, strategy: number, cell: number): number => {
    const offset = program.inputs[index]!.offsets[strategy]![cell]!;
    const component = program.components[offset];
    if (component === undefined)
      throw inputError(place, "missing-cells", `values of ${program.inputs[index]!.name}`, [
        program.strategies[strategy]!.id,
      ]);
    if (!isFixed(component, program.components)) throw inputError(place, "draw-dependent", what);
    return component.base;
  };
  // each formula once, however often others name it
  const known = new Map<string, number>();
  const formula = (index: number, strategy: number): number => {
    const key = `${index}/${strategy}`;
    const found = known.get(key) ?? value(program.formulas[index]!.node, strategy);
    known.set(key, found);
    return found;
  };
  const value = (at: Bound, strategy: number): number => {
    switch (at.op) {
      case "number":
        return at.value;
      case "mark":
        return at.strategies[strategy] ? 1 : 0;
      case "attribute":
        if (whom.group === null) throw refused("let it depend on strategy and fixed inputs only");
        return program.groups[whom.group]!.attributes[at.attribute]!;
      case "test":
        return cellOf(at.key) === at.level ? 1 : 0;
      case "input":
        return input(at.input, at.strategy ?? strategy, cellOf(at.key));
      case "formula":
        if (at.lag !== null) throw refused("leave time out of it");
        return formula(at.formula, at.strategy ?? strategy);
      case "if":
        return value(at.test, strategy) !== 0 ? value(at.yes, strategy) : value(at.no, strategy);
      case "time":
      case "cycle":
      case "since":
      case "table":
        throw refused("leave time, clocks and tables out of it");
      default:
        return "of" in at
          ? apply(at.op, value(at.of, strategy), 0)
          : apply(at.op, value(at.left, strategy), value(at.right, strategy));
    }
  };
  return value(node, whom.strategy);
}
