import type { Findings, Place } from "../errors.ts";
import { isNone } from "../schema/dimension.ts";
import type { Step } from "../schema/located.ts";
import { readQuantity } from "../schema/quantity.ts";
import type { Counting as CountingText } from "../schema/scenario.ts";
import type { Counting, EventForm, TimeGrid } from "./program.ts";

/**
 * The counting rule. Simpson's rule needs an even number of cycles and no instant after the start, else it is refused.
 * Source: Elbasha and Chhatwal, PharmacoEconomics 2016;34:1115-1131 (from memory). Mistakes go to the findings.
 */
export function readCounting(
  given: CountingText,
  grid: TimeGrid,
  events: readonly EventForm[],
  at: (...path: readonly Step[]) => Place,
  findings: Findings,
): Counting {
  const count = grid.cycles + 1;
  if (given === "simpson") {
    const later = events.some(
      ({ timing }) =>
        timing.when === "instant" &&
        (timing.every !== null || timing.at.some((node) => !(node.op === "number" && node.value === 0))),
    );
    if (grid.cycles % 2 !== 0) findings.add(at(), "simpson-refused", `${grid.cycles} cycles are an odd number`);
    else if (later) findings.add(at(), "simpson-refused", "membership jumps at an instant after the start");
    const weights = Float64Array.from(
      { length: count },
      (_, c) => (c === 0 || c === grid.cycles ? 1 : c % 2 === 1 ? 4 : 2) / 3,
    );
    return { rule: "boundary", weights, name: "Simpson's rule" };
  }
  if (typeof given === "string") return { rule: given };
  const number = (text: string | number, ...path: readonly Step[]): number => {
    const quantity = readQuantity(text);
    if (!("problem" in quantity) && isNone(quantity.dimension)) return quantity.value;
    findings.add(at("weights", ...path), "quantity-syntax", String(text));
    return 0;
  };
  const { weights } = given;
  if (Array.isArray(weights)) {
    if (weights.length !== count) findings.add(at("weights"), "weights-length", weights.length, count);
    return {
      rule: "boundary",
      weights: Float64Array.from({ length: count }, (_, c) => (weights[c] === undefined ? 0 : number(weights[c], c))),
      name: "explicit weights",
    };
  }
  if (weights.repeat.length === 0) findings.add(at("weights", "repeat"), "empty-list", "repeat");
  const first = number(weights.first, "first");
  const last = number(weights.last, "last");
  const repeat = weights.repeat.map((text, i) => number(text, "repeat", i));
  return {
    rule: "boundary",
    weights: Float64Array.from({ length: count }, (_, c) =>
      c === 0 ? first : c === grid.cycles ? last : (repeat[(c - 1) % Math.max(1, repeat.length)] ?? 0),
    ),
    name: "explicit weights",
  };
}
