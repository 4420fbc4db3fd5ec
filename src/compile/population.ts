import type { Findings } from "../errors.ts";
import { inRange, rangeText } from "../evidence/range.ts";
import { quantityIn } from "../evidence/read-quantity.ts";
import { isNone } from "../schema/dimension.ts";
import type { Step } from "../schema/located.ts";
import { nearestNames } from "../schema/nearest.ts";
import { readQuantity } from "../schema/quantity.ts";
import type { Population } from "../schema/scenario.ts";
import { type Context, scenarioPlace } from "./context.ts";
import type { Group } from "./program.ts";

interface Part {
  readonly id: string;
  readonly label: string;
  readonly share: number;
  readonly values: ReadonlyMap<string, number>;
}

const groupLimit = 200;

/** The population groups with their shares and attributes. Mistakes go to the findings. */
export function readPopulation(context: Context): readonly Group[] {
  const { findings } = context;
  const attributes = [...context.scope.attributes.values()];
  const given: Population = context.scenario.data.population ?? {};
  const place = scenarioPlace(context, ["population"], true);
  const forms = (["all", "groups", "cross"] as const).filter((form) => given[form] !== undefined);
  if (forms.length > 1) findings.add(place, "inconsistent-keys", forms, "give one of all, groups and cross");
  let parts: readonly Part[] = [{ id: "all", label: "Everybody", share: 1, values: new Map() }];
  if (given.all !== undefined) parts = [readPart("all", "Everybody", given.all, ["population", "all"], context, false)];
  else if (given.groups !== undefined) {
    parts = Object.entries(given.groups).map(([id, values]) =>
      readPart(id, id, values, ["population", "groups", id], context, true),
    );
    sumToOne(parts, "groups", ["population", "groups"], context);
  } else if (given.cross !== undefined) parts = readCross(given.cross, context);
  if (parts.length === 0) findings.add(place, "empty-list", "population");
  if (parts.length > groupLimit) findings.add(place, "unit-of-work", "number of groups", groupLimit);
  return parts.map((part, index): Group => {
    const missing = attributes
      .filter((attribute) => !part.values.has(attribute.name))
      .map((attribute) => attribute.name);
    if (missing.length > 0) findings.add(place, "missing-cells", `attributes of group ${part.id}`, missing);
    return {
      index,
      id: part.id,
      label: part.label,
      share: part.share,
      attributes: attributes.map((attribute) => part.values.get(attribute.name) ?? 0),
    };
  });
}

function readCross(cross: NonNullable<Population["cross"]>, context: Context): readonly Part[] {
  const axes = Object.entries(cross).map(([name, given]): readonly Part[] => {
    const path = ["population", "cross", name];
    if (Array.isArray(given)) {
      const list = given.map((values, i) =>
        readPart(`${name}_${i + 1}`, `${name} ${i + 1}`, values, [...path, i], context, true),
      );
      sumToOne(list, name, path, context);
      return list;
    }
    const list = Object.entries(given).map(([level, share]): Part => {
      const value = attributeValue(name, level, [...path, level], context);
      if (!(share >= 0 && share <= 1))
        context.findings.add(
          scenarioPlace(context, [...path, level]),
          "out-of-range",
          "a share",
          String(share),
          "0 to 1",
        );
      return { id: level, label: level, share, values: new Map(value === undefined ? [] : [[name, value]]) };
    });
    sumToOne(list, name, path, context);
    return list;
  });
  return axes.reduce<readonly Part[]>(
    (parts, axis) =>
      parts.flatMap((left) =>
        axis.map((right) => ({
          id: left.id === "" ? right.id : `${left.id}.${right.id}`,
          label: left.label === "" ? right.label : `${left.label}, ${right.label}`,
          share: left.share * right.share,
          values: new Map([...left.values, ...right.values]),
        })),
      ),
    [{ id: "", label: "", share: 1, values: new Map() }],
  );
}

function readPart(
  id: string,
  label: string,
  given: Readonly<Record<string, string | number>>,
  path: readonly Step[],
  context: Context,
  withShare: boolean,
): Part {
  const { findings } = context;
  const values = new Map<string, number>();
  let share = 1;
  let name = label;
  for (const [key, text] of Object.entries(given)) {
    const at = [...path, key];
    if (key === "label") name = String(text);
    else if (key === "share" && withShare) share = shareOf(text, at, context, findings);
    else {
      const value = attributeValue(key, text, at, context);
      // a value that is wrong is reported as such, not as missing
      if (context.scope.attributes.has(key)) values.set(key, value ?? 0);
    }
  }
  if (withShare && given["share"] === undefined) {
    findings.add(scenarioPlace(context, path, true), "missing-key", "share");
    share = Number.NaN;
  }
  return { id, label: name, share, values };
}

function shareOf(text: string | number, path: readonly Step[], context: Context, findings: Findings): number {
  const quantity = readQuantity(text);
  if (!("problem" in quantity) && isNone(quantity.dimension) && quantity.value >= 0 && quantity.value <= 1)
    return quantity.value;
  findings.add(scenarioPlace(context, path), "out-of-range", "a share", String(text), "0 to 1");
  return Number.NaN;
}

function attributeValue(
  name: string,
  text: string | number,
  path: readonly Step[],
  context: Context,
): number | undefined {
  const attribute = context.scope.attributes.get(name);
  const place = scenarioPlace(context, path, true);
  if (attribute === undefined) {
    const known = [...context.scope.attributes.keys()];
    context.findings.add(
      place,
      "unknown-reference",
      "attribute of the population",
      name,
      nearestNames(name, known),
      known,
    );
    return undefined;
  }
  if (attribute.levels === null) {
    const value = quantityIn(
      text,
      { dimension: attribute.type.dimension, currency: context.scope.currency, cycleYears: context.scope.cycleYears },
      scenarioPlace(context, path),
      context.findings,
    );
    const declared = context.model.data.population?.[name];
    if (value === undefined || declared === undefined || Array.isArray(declared) || inRange(declared.is, value))
      return value;
    const range = rangeText(declared.is);
    context.findings.add(scenarioPlace(context, path), "out-of-range", name, String(text), range);
    return undefined;
  }
  const index = attribute.levels.indexOf(String(text));
  if (index >= 0) return index;
  context.findings.add(
    place,
    "unknown-reference",
    `level of ${name}`,
    String(text),
    nearestNames(String(text), attribute.levels),
    attribute.levels,
  );
  return undefined;
}

function sumToOne(parts: readonly Part[], what: string, path: readonly Step[], context: Context): void {
  const sum = parts.reduce((total, part) => total + part.share, 0);
  if (Math.abs(sum - 1) > 1e-9)
    context.findings.add(scenarioPlace(context, path, true), "shares-sum", what, String(Number(sum.toPrecision(12))));
}
