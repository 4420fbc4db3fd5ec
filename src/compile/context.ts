import type { Findings, Place } from "../errors.ts";
import type { Money } from "../evidence/money.ts";
import { type Document, type ExpressionSource, expressionAt, placeIn } from "../schema/document.ts";
import type { Step } from "../schema/located.ts";
import type { Model } from "../schema/model.ts";
import type { Scenario } from "../schema/scenario.ts";
import { bindExpression } from "./bind.ts";
import type { Bound } from "./bound.ts";
import type { Typed } from "./names.ts";
import type { Scope } from "./scope.ts";
import { literal } from "./type.ts";

/** What every part of the compiler works with. */
export interface Context {
  readonly model: Document<Model>;
  readonly scenario: Document<Scenario>;
  readonly scope: Scope;
  /** The scenario's money and the conversions to it. */
  readonly money: Money;
  readonly findings: Findings;
}

/** Place in the model file. */
export function modelPlace(context: Context, path: readonly Step[], key = false): Place {
  return placeIn(context.model, path, key);
}

/** Place in the scenario. */
export function scenarioPlace(context: Context, path: readonly Step[], key = false): Place {
  return placeIn(context.scenario, path, key);
}

/** A bound expression of the model; on a mistake the finding is kept and a 0 stands in. */
export function boundAt(
  context: Context,
  path: readonly Step[],
): Typed & { readonly source: ExpressionSource; readonly failed: boolean } {
  const source = expressionAt(context.model, path);
  try {
    return { ...bindExpression(source, context.scope), source, failed: false };
  } catch (error) {
    context.findings.catch(error);
    const node: Bound = { op: "number", value: 0 };
    return { node, type: { ...literal, zero: true }, source, failed: true };
  }
}

/** The index of a name, or undefined with a finding at `place`. */
export function indexOf(
  context: Context,
  what: string,
  name: string,
  known: readonly string[],
  place: Place,
  near: readonly string[],
): number | undefined {
  const index = known.indexOf(name);
  if (index >= 0) return index;
  context.findings.add(place, "unknown-reference", what, name, near, known);
  return undefined;
}
