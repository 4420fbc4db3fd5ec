import type { OneWayRows } from "../analysis/one-way.ts";
import type { Program } from "../compile/program.ts";
import type { Outcomes } from "../engine/outcomes.ts";
import { capitalised } from "./format.ts";
import { inputValueText } from "./input-value-text.ts";

/** What a pathway costs and yields more than the reference. */
export interface OneWayPair {
  readonly deltaCost: number;
  readonly deltaEffect: number;
}

/** An input at one of its values, all others at their base values. */
export interface OneWayEnd {
  /** The value in words. */
  readonly text: string;
  /** By id of the pathway. */
  readonly pairs: Readonly<Record<string, OneWayPair>>;
}

/** What one uncertain input does by itself. */
export interface OneWayEffect {
  readonly key: string;
  readonly label: string;
  /** In rising order of the value; of a choice all that are possible. */
  readonly ends: readonly OneWayEnd[];
}

/** What each uncertain input does by itself to the difference between each pathway and the reference. */
export interface OneWayAnswer {
  readonly reference: string;
  readonly base: Readonly<Record<string, OneWayPair>>;
  readonly inputs: readonly OneWayEffect[];
}

/** The answer from the rows and what came of them. */
export function oneWayAnswer(program: Program, { inputs }: OneWayRows, outcomes: Outcomes): OneWayAnswer {
  const { analysis, components, strategies } = program;
  const [S, A] = [outcomes.strategies, outcomes.accounts];
  const reference = analysis.compare.indexOf(analysis.reference);
  const total = (row: number, s: number, account: number): number => outcomes.totals[(row * S + s) * A + account]!;
  const pairs = (row: number): Readonly<Record<string, OneWayPair>> =>
    Object.fromEntries(
      analysis.compare.flatMap((strategy, s) => {
        if (s === reference) return [];
        const deltaCost = total(row, s, analysis.cost) - total(row, reference, analysis.cost);
        const deltaEffect = total(row, s, analysis.effect) - total(row, reference, analysis.effect);
        return [[strategies[strategy]!.id, { deltaCost, deltaEffect }]];
      }),
    );
  let row = 0;
  return {
    reference: strategies[analysis.reference]!.id,
    base: pairs(row),
    inputs: inputs.map(({ component, values }) => {
      const { key, input } = components[component]!;
      return {
        key,
        label: componentLabel(program, component),
        ends: values.map((value) => {
          row += 1;
          return { text: inputValueText(program, program.inputs[input]!, value), pairs: pairs(row) };
        }),
      };
    }),
  };
}

/** What tells values of one input apart stands first, so that it is read where a long label is cut. */
function componentLabel(program: Program, index: number): string {
  const { input, strategy, cell } = program.components[index]!;
  const { label, cells } = program.inputs[input]!;
  const own = [
    strategy === null ? "" : program.strategies[strategy]!.label,
    cell === null ? "" : (cells?.[cell] ?? "").replaceAll("_", " "),
  ].filter((part) => part !== "");
  return capitalised(own.length === 0 ? label : `${own.join(", ")}: ${label.charAt(0).toLowerCase()}${label.slice(1)}`);
}
