import { type Bound, children, type Key } from "./bound.ts";
import type { Formula } from "./program.ts";

/** What an expression varies with. Draw and strategy matter to everything that reads an input. */
export interface Axes {
  readonly draw: boolean;
  readonly strategy: boolean;
  readonly group: boolean;
  readonly cycle: boolean;
  readonly factors: ReadonlySet<number>;
  readonly clocks: ReadonlySet<number>;
}

interface Collected {
  draw: boolean;
  strategy: boolean;
  group: boolean;
  cycle: boolean;
  factors: Set<number>;
  clocks: Set<number>;
}

/** The axes of an expression, formulas followed; `known` keeps those of formulas between calls. */
export function axesOf(
  node: Bound,
  formulas: readonly Pick<Formula, "node">[],
  known: Map<number, Axes> = new Map(),
): Axes {
  const axes: Collected = {
    draw: false,
    strategy: false,
    group: false,
    cycle: false,
    factors: new Set(),
    clocks: new Set(),
  };
  const key = (k: Key | null): void => {
    if (k?.by === "factor") axes.factors.add(k.factor);
    if (k?.by === "attribute") axes.group = true;
    if (k?.by === "choice") {
      axes.draw = true;
      axes.strategy = true;
    }
  };
  const merge = (other: Axes): void => {
    axes.draw ||= other.draw;
    axes.strategy ||= other.strategy;
    axes.group ||= other.group;
    axes.cycle ||= other.cycle;
    for (const factor of other.factors) axes.factors.add(factor);
    for (const clock of other.clocks) axes.clocks.add(clock);
  };
  const visit = (at: Bound): void => {
    switch (at.op) {
      case "time":
      case "cycle":
        axes.cycle = true;
        break;
      case "since":
        axes.clocks.add(at.factor);
        axes.factors.add(at.factor);
        break;
      case "mark":
        axes.strategy = true;
        break;
      case "attribute":
        axes.group = true;
        break;
      case "test":
        key(at.key);
        break;
      case "input":
        axes.draw = true;
        axes.strategy = true;
        key(at.key);
        break;
      case "table":
        for (const k of at.keys) key(k);
        break;
      case "formula": {
        let inner = known.get(at.formula);
        if (inner === undefined) {
          inner = axesOf(formulas[at.formula]!.node, formulas, known);
          known.set(at.formula, inner);
        }
        merge(inner);
        break;
      }
      default:
    }
    for (const child of children(at)) visit(child);
  };
  visit(node);
  return axes;
}
