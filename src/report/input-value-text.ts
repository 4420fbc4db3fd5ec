import type { Input, Program } from "../compile/program.ts";
import { dimensionText, isNone } from "../schema/dimension.ts";
import { significantText } from "./format.ts";

function inputUnit(program: Program, { type }: Input): string {
  return isNone(type.dimension) ? "" : dimensionText(type.dimension).replace("money", program.analysis.currency);
}

/**
 * A value of an input as readers see it: shares in percent, choices by name, anything else to three significant digits
 * with its unit.
 */
export function inputValueText(program: Program, input: Input, value: number): string {
  if (input.choices !== null) return (input.choices[value] ?? "").replaceAll("_", " ");
  if (input.kind === "probability" || input.kind === "share") return `${significantText(100 * value)}%`;
  const all = inputUnit(program, input);
  // quality of life is read as a weight, not as QALYs by the year
  const unit = all === "QALY/year" ? "" : all;
  return unit === "" ? significantText(value) : `${significantText(value)} ${unit}`;
}
