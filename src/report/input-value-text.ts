import type { Input, Program } from "../compile/program.ts";
import { combined, dimensionText, isNone, utility } from "../schema/dimension.ts";
import { significantText } from "./format.ts";

/** The unit as readers see it: quality of life is read as a weight, not as QALYs by the year. */
function inputUnit(program: Program, { kind, type: { dimension } }: Input): string {
  const words = (text: string): string =>
    text.replace("money", program.analysis.currency).replaceAll("^", "").replace(/^1\//, "per ");
  if (kind !== "utility") return isNone(dimension) ? "" : words(dimensionText(dimension));
  const per = combined(utility, dimension, -1);
  return isNone(per) ? "" : `per ${words(dimensionText(per))}`;
}

/**
 * A value of an input as readers see it: shares and changes in percent, choices by name, anything else to three
 * significant digits with its unit.
 */
export function inputValueText(program: Program, input: Input, value: number): string {
  if (input.choices !== null) return (input.choices[value] ?? "").replaceAll("_", " ");
  const isPart = input.kind === "change" && isNone(input.type.dimension);
  if (input.kind === "probability" || input.kind === "share" || isPart) return `${significantText(100 * value)}%`;
  const unit = inputUnit(program, input);
  return unit === "" ? significantText(value) : `${significantText(value)} ${unit}`;
}
