import { isNone, sameDimension } from "../schema/dimension.ts";
import { type ExpressionSource, expressionAt } from "../schema/document.ts";
import type { Branch as BranchDeclaration } from "../schema/model.ts";
import { nearestNames } from "../schema/nearest.ts";
import { type Bound, two } from "./bound.ts";
import { boundAt, type Context, modelPlace } from "./context.ts";
import { chanceOver, partOver } from "./conversion.ts";
import type { Branch, TimeGrid, Use } from "./program.ts";
import { resourceDimension } from "./resources.ts";
import { readMove } from "./structure.ts";
import { type Type, typeText } from "./type.ts";

interface Chance {
  readonly node: Bound;
  readonly type: Type;
  readonly source: ExpressionSource;
  readonly failed: boolean;
}

/** Readers of what an event and its branches hold; mistakes go to the findings. */
export function readBranches(
  context: Context,
  grid: TimeGrid,
  pathIndex: (path: string) => number,
  labels: Map<string, string>,
) {
  const { findings } = context;
  const resources = Object.keys(context.model.data.resources ?? {});

  /**
   * A chance as the engine uses it. `cycle`: at risk for a cycle, so a probability with another period is converted on
   * the hazard scale; `case`: of those who had the event, so a period is a mistake.
   */
  function chance(given: Chance, of: "cycle" | "case"): Bound {
    const { node, type } = checked(given, of);
    if (of === "case" || type.kind !== "probability" || type.period === undefined) return node;
    return chanceOver(node, type.period, grid.cycleYears);
  }

  function checked(given: Chance, of: "cycle" | "case"): Chance {
    const { type, source, failed } = given;
    if (failed) return given;
    if (!["probability", "share", "literal"].includes(type.kind))
      findings.add(source.place, "not-a-chance", typeText(type));
    if (of === "case" && type.kind === "probability" && type.period !== undefined)
      findings.add(source.place, "period-misplaced", "a branch of those who had an event");
    return given;
  }

  function uses(
    given: Readonly<Record<string, unknown>> | undefined,
    path: readonly (string | number)[],
  ): readonly Use[] {
    return Object.keys(given ?? {}).flatMap((name) => {
      const resource = resources.indexOf(name);
      if (resource < 0) {
        findings.add(
          modelPlace(context, [...path, name], true),
          "unknown-reference",
          "resource",
          name,
          nearestNames(name, resources),
          resources,
        );
        return [];
      }
      const amount = boundAt(context, [...path, name]);
      const wanted = resourceDimension(context.model.data.resources![name]!.in);
      const bare = isNone(amount.type.dimension) && wanted[5] === 1;
      if (!amount.failed && !amount.type.zero && !bare && !sameDimension(amount.type.dimension, wanted)) {
        findings.add(
          amount.source.place,
          "unit-mismatch",
          typeText(amount.type),
          `an amount in ${context.model.data.resources![name]!.in}`,
        );
      }
      return [{ resource, amount: amount.node, source: amount.source }];
    });
  }

  function children(
    given: Readonly<Record<string, BranchDeclaration>> | undefined,
    above: string,
    path: readonly (string | number)[],
    of: "cycle" | "case",
  ): readonly Branch[] {
    if (given === undefined) return [];
    const names = Object.keys(given);
    if (names.length === 0) findings.add(modelPlace(context, path), "empty-list", "one_of");
    const rests = names.filter((name) => given[name]!.rest === true);
    if (rests.length > 1) findings.add(modelPlace(context, [...path, rests[1]!], true), "rest-twice", above);
    const chances = new Map<string, Chance>();
    for (const name of names) {
      const declared = given[name]!;
      const place = modelPlace(context, [...path, name], true);
      if (!/^[A-Za-z][A-Za-z0-9_]*$/.test(name)) findings.add(place, "invalid-name", name);
      if ((declared.chance === undefined) === (declared.rest === undefined)) {
        if (declared.rest === undefined) findings.add(place, "missing-key", "chance or rest: true");
        else findings.add(place, "inconsistent-keys", ["chance", "rest"], "a branch has a chance or takes the rest");
      } else if (declared.chance !== undefined)
        chances.set(name, checked(boundAt(context, [...path, name, "chance"]), of));
    }
    const cycleChances = of === "cycle" ? overCycle(chances) : chances;
    return names.map((name) => {
      const declared = given[name]!;
      const own = [...path, name];
      const full = `${above}.${name}`;
      if (declared.label !== undefined) labels.set(full, declared.label);
      return {
        path: pathIndex(full),
        chance: cycleChances.get(name)?.node ?? null,
        rest: declared.rest === true,
        move: readMove(declared.then, [...own, "then"], context),
        uses: uses(declared.uses, [...own, "uses"]),
        children: children(
          declared.one_of as Readonly<Record<string, BranchDeclaration>> | undefined,
          full,
          [...own, "one_of"],
          "case",
        ),
        source:
          declared.chance === undefined
            ? expressionAt(context.model, own)
            : expressionAt(context.model, [...own, "chance"]),
      };
    });
  }

  /**
   * Exclusive chances of one period as chances of a cycle: together converted on the hazard scale, then split in their
   * proportions, which is what constant competing hazards give.
   */
  function overCycle(chances: ReadonlyMap<string, Chance>): ReadonlyMap<string, { readonly node: Bound }> {
    const timed = [...chances].filter(([, { type }]) => type.kind === "probability" && type.period !== undefined);
    const [first] = timed;
    if (first === undefined) return chances;
    const period = first[1].type.period!;
    for (const [, { type, source }] of chances) {
      const fits =
        type.kind === "literal" ||
        (type.kind === "probability" && type.period !== undefined && Math.abs(type.period - period) < 1e-12);
      if (!fits) findings.add(source.place, "units-inconsistent", "branches", typeText(type), typeText(first[1].type));
    }
    if (Math.abs(period - grid.cycleYears) <= 1e-12 * period) return chances;
    if (timed.length === 1 && chances.size === 1)
      return new Map([[first[0], { node: chanceOver(first[1].node, period, grid.cycleYears) }]]);
    const sum = timed.map(([, { node }]) => node).reduce((left, right) => two("add", left, right));
    return new Map(
      [...chances].map(([name, { node, type }]) => [
        name,
        { node: type.kind === "literal" ? node : partOver(node, sum, period, grid.cycleYears) },
      ]),
    );
  }

  return { chance, uses, children };
}
