import { Findings } from "../errors.ts";
import { type Dirichlet, dirichlet } from "../numerics/distributions/dirichlet.ts";
import type { Distribution } from "../numerics/distributions/distribution.ts";
import { betaPrior, converted } from "./base-value.ts";
import { type LawContext, lawOf } from "./law.ts";
import type { Component } from "./reported.ts";

/** How a scalar component gets its value in a draw; values are on the reported scale until converted. */
export type Drawing =
  | { readonly how: "fixed" }
  | { readonly how: "same"; readonly as: number }
  | { readonly how: "law"; readonly law: Distribution }
  | { readonly how: "cell"; readonly joint: number; readonly cell: number }
  | { readonly how: "choice"; readonly weights: readonly number[] }
  | { readonly how: "rows"; readonly file: string; readonly values: readonly number[] };

/** A vector drawn together: its law and the components of its cells. */
export interface Joint {
  readonly law: Dirichlet;
  readonly members: readonly number[];
}

/** A warning about the evidence of a component. */
export interface EvidenceWarning {
  readonly key: string;
  readonly text: string;
}

/** The laws of all components of a case. */
export interface Laws {
  readonly drawings: readonly Drawing[];
  readonly joints: readonly Joint[];
  readonly warnings: readonly EvidenceWarning[];
}

/** Builds the laws of all components. Throws evidence-invalid for all that have none, at their places. */
export function lawsOf(components: readonly Component[], contextOf: (component: Component) => LawContext): Laws {
  const findings = new Findings();
  const joints: Joint[] = [];
  const jointOf = new Map<string, number>();
  const warnings: EvidenceWarning[] = [];
  const indexOf = new Map(components.map((component, i) => [component.key, i]));
  const drawings = components.map((component, i): Drawing => {
    const { reported } = component;
    switch (reported.form) {
      case "fixed":
        return { how: "fixed" };
      case "same":
        return { how: "same", as: indexOf.get(reported.as) ?? i };
      case "chosen":
        return { how: "choice", weights: reported.weights };
      case "draws":
        return { how: "rows", file: reported.file, values: reported.values };
      case "counts": {
        const id = `${component.input}/${component.strategy}`;
        let joint = jointOf.get(id);
        if (joint === undefined) {
          const members = components.flatMap((other, k) =>
            other.input === component.input && other.strategy === component.strategy ? [k] : [],
          );
          joint = joints.push({ law: dirichlet(alphas(component)), members }) - 1;
          jointOf.set(id, joint);
        }
        return { how: "cell", joint, cell: reported.cell };
      }
      default: {
        const result = lawOf(reported, contextOf(component), component.options);
        if ("problem" in result) {
          findings.add(component.place, "evidence-invalid", result.problem, result.instead);
          return { how: "fixed" };
        }
        for (const text of result.warnings) warnings.push({ key: component.key, text });
        return { how: "law", law: result.law };
      }
    }
  });
  findings.throwAny();
  return { drawings, joints, warnings };
}

/** Counts with the prior on the cells that were listed; a cell not listed stays a structural zero. */
function alphas(component: Component): readonly number[] {
  const { reported, options } = component;
  if (reported.form !== "counts") throw new Error(`${component.key} holds no counts`);
  const prior = betaPrior(options).a;
  return reported.counts.map((count, cell) => (reported.listed[cell] ? count + prior : 0));
}

/** Mean of a component's law on the model's scale, where the conversion is linear; otherwise of the reported scale. */
export function lawMean(drawing: Drawing, component: Component, joints: readonly Joint[]): number {
  switch (drawing.how) {
    case "law":
      return converted(drawing.law.mean, component.conversion);
    case "cell":
      return joints[drawing.joint]!.law.means[drawing.cell]!;
    default:
      return component.base;
  }
}
