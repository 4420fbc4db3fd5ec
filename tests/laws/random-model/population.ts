import type { AttributePlan, Draft, Section, Tree } from "./draft.ts";
import { partsOfOne } from "./evidence.ts";
import { randomSource } from "./sources.ts";

/** All attributes of population groups a case may have. */
export const attributes: readonly AttributePlan[] = [
  { name: "sex", levels: ["male", "female"], unit: "" },
  { name: "start_age", levels: null, unit: "year" },
  { name: "start_bmi", levels: null, unit: "kg/m2" },
];

/** The attributes as the model file declares them. */
export function attributeDeclarations(draft: Draft): Section {
  return Object.fromEntries(
    draft.attributes.map(({ name, levels, unit }): [string, Tree] => [
      name,
      levels ?? { is: "number", in: unit, ...(draft.dice.chance(30) ? { label: `Attribute ${name}` } : {}) },
    ]),
  );
}

/** A population of one group, of named groups, or the cross of several attributes. */
export function randomPopulation(draft: Draft): Section {
  const { dice, attributes: own } = draft;
  const value = ({ levels, unit }: AttributePlan): Tree => {
    if (levels !== null) return dice.one(levels);
    return unit === "year" ? `${dice.whole(30, 60)} years` : `${dice.number(24, 44)} kg/m2`;
  };
  const values = (list: readonly AttributePlan[]): Section =>
    Object.fromEntries(list.map((one) => [one.name, value(one)]));
  const source = dice.chance(30) ? { source: randomSource(draft) } : {};
  if (own.length === 0) return dice.chance(50) ? {} : { all: {}, ...source };
  return {
    ...dice.way<Section>(
      () => ({ all: values(own) }),
      () => {
        const parts = partsOfOne(draft, dice.whole(2, 3));
        return {
          groups: Object.fromEntries(
            parts.map((part, i): [string, Tree] => [
              `group_${i + 1}`,
              { share: part, ...values(own), ...(dice.chance(40) ? { label: `Group ${i + 1}` } : {}) },
            ]),
          ),
        };
      },
      () => {
        const named = own.filter(({ levels }) => levels !== null);
        const numbers = own.filter(({ levels }) => levels === null);
        const cross = Object.fromEntries(
          named.map(({ name, levels }): [string, Tree] => {
            const parts = partsOfOne(draft, levels!.length);
            return [name, Object.fromEntries(levels!.map((level, i) => [level, parts[i]!]))];
          }),
        );
        if (numbers.length > 0) {
          const parts = partsOfOne(draft, 2);
          cross["body"] = parts.map((part) => ({
            share: part,
            ...values(numbers),
            ...(dice.chance(30) ? { label: "A part" } : {}),
          }));
        }
        return { cross };
      },
    ),
    ...source,
  };
}
