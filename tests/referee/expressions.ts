import { type Bound, children } from "../../src/compile/bound.ts";
import { whenAtBoundary, whenInCycle } from "../../src/compile/instances.ts";
import type { Branch, Program } from "../../src/compile/program.ts";
import { expressionValues } from "../../src/engine/expression-values.ts";
import { FormulaValues } from "../../src/engine/formula-value.ts";
import type { Study } from "../../src/study.ts";
import { attempted } from "./agreement.ts";

/** Every expression of a program that a run may evaluate. */
export function expressionsOf(program: Program): readonly Bound[] {
  const found: Bound[] = program.formulas.map(({ node }) => node);
  const branch = ({ chance, uses, children }: Branch): void => {
    if (chance !== null) found.push(chance);
    for (const { amount } of uses) found.push(amount);
    children.forEach(branch);
  };
  for (const { timing, root } of program.events) {
    if (timing.when === "rate") found.push(timing.rate);
    if (timing.when === "crude") found.push(timing.incidence);
    branch(root);
  }
  for (const posting of program.postings) if (posting.by !== "resource") found.push(posting.amount);
  for (const { price } of program.resources) found.push(price);
  for (const { node } of program.curves) found.push(node);
  return found;
}

/** True where a scenario gives every value that an expression may read under a strategy. */
function isGiven(program: Program, node: Bound, s: number): boolean {
  if (node.op === "input")
    return program.inputs[node.input]!.offsets[node.strategy ?? s]!.every((offset) => offset >= 0);
  if (node.op === "formula" && !isGiven(program, program.formulas[node.formula]!.node, node.strategy ?? s))
    return false;
  return children(node).every((child) => isGiven(program, child, s));
}

/** Evenly chosen members of a list, the first and the last among them. */
export function some<T>(list: readonly T[], most: number): readonly T[] {
  if (list.length <= most) return list;
  return Array.from({ length: most }, (_, i) => list[Math.round((i * (list.length - 1)) / (most - 1))]!);
}

/** How many values of a study's expressions were compared, and which of them had other bits in the lanes. */
export interface Compared {
  readonly count: number;
  readonly different: readonly string[];
}

/** Compares the bits of all expressions, in some states and cycles, for some rows. */
export function comparedBits(study: Study, rows: Float64Array, states = 6, cycles = 5): Compared {
  const { program, expansion } = study;
  const width = program.components.length;
  const N = width === 0 ? 1 : rows.length / width;
  const T = program.grid.cycles;
  const G = program.groups.length;
  let count = 0;
  const different: string[] = [];
  for (const s of program.analysis.compare) {
    const expressions = expressionsOf(program).filter((node) => isGiven(program, node, s));
    const asked = some(expansion.states, states).flatMap((who) => expressions.map((node) => ({ node, who })));
    for (const when of [whenInCycle, whenAtBoundary]) {
      const found = expressionValues(program, s, asked, rows, when);
      for (let k = 0; k < N; k++) {
        for (let g = 0; g < G; g++) {
          const values = new FormulaValues(program, rows.slice(k * width, (k + 1) * width), s, [g]);
          for (const c of some([...Array(T).keys()], cycles)) {
            const startTime = c / program.grid.cyclesPerYear;
            const offset = when === whenInCycle ? program.grid.evaluateAt : 0;
            values.at({ cycle: c, time: (c + offset) / program.grid.cyclesPerYear, startTime });
            for (const [i, { node, who }] of asked.entries()) {
              const expected = attempted(() => values.value(node, who)[0]!);
              // where the referee refuses to read a table there is nothing to compare
              if (typeof expected !== "number") continue;
              count += 1;
              const value = found[((k * G + g) * T + c) * asked.length + i]!;
              if (!Object.is(value, expected) && different.length < 10)
                different.push(`row ${k}, group ${g}, cycle ${c}, expression ${i}: ${value} is not ${expected}`);
            }
          }
        }
      }
    }
  }
  return { count, different };
}
