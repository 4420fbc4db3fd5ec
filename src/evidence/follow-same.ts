import { finding, InputError } from "../errors.ts";
import { nearestNames } from "../schema/nearest.ts";
import type { Component } from "./reported.ts";

/** The components with every `same_as` followed to its base value. Throws circular and unknown-reference findings together. */
export function followSame(components: readonly Component[]): readonly Component[] {
  const keys = new Set(components.map((component) => component.key));
  const named = components.map((component): Component => {
    const { reported } = component;
    if (reported.form !== "same") return component;
    const otherwise = !keys.has(reported.as) && reported.orElse !== undefined && keys.has(reported.orElse);
    return { ...component, reported: { form: "same", as: otherwise ? reported.orElse : reported.as } };
  });
  const byKey = new Map(named.map((component) => [component.key, component]));
  const errors: ReturnType<typeof finding>[] = [];
  const base = (component: Component, above: readonly string[]): number => {
    if (component.reported.form !== "same") return component.base;
    if (above.includes(component.key)) {
      errors.push(finding(component.place, "circular", [...above, component.key]));
      return Number.NaN;
    }
    const other = byKey.get(component.reported.as);
    if (other === undefined) {
      const known = [...byKey.keys()];
      errors.push(
        finding(
          component.place,
          "unknown-reference",
          "input",
          component.reported.as,
          nearestNames(component.reported.as, known),
          [],
        ),
      );
      return Number.NaN;
    }
    return base(other, [...above, component.key]);
  };
  const followed = named.map((component) => ({ ...component, base: base(component, []) }));
  if (errors.length > 0) throw new InputError(errors);
  return followed;
}
