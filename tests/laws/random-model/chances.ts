import { condition, fraction } from "./numbers.ts";
import type { Pen } from "./pen.ts";
import * as quantity from "./quantities.ts";

/** A rate per time, 0 or more. */
export function rate(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const ways: (() => string)[] = [
    () => pen.input(quantity.rate),
    () => pen.input(quantity.monthlyRate),
    () => `hazard_of(${pen.input(quantity.probabilityPer(dice.one(quantity.periods)))})`,
  ];
  if (depth > 1) {
    const inner = () => pen.write("rate", depth - 1);
    ways.push(
      () => `${inner()} * ${dice.one([...pen.named("hazard ratio"), () => pen.input(quantity.hazardRatio)])()}`,
      () => `${inner()} * ${pen.input(quantity.hazardRatioPerBmi)} ^ (${pen.write("bmi", depth - 1)} - 25 kg/m2)`,
      () => `(${inner()} * ${pen.write("scale", depth - 1)})`,
      () => `(${inner()} + ${inner()})`,
      () => `(${condition(pen, depth - 1)} ? ${inner()} : 0)`,
      () => `max(${inner()}, ${inner()})`,
      () => `hazard_of(${pen.write(`chance per ${dice.one(quantity.periods)}`, depth - 1)} * 0.9)`,
      () => `${inner()} / (2 * ${pen.input(quantity.hazardRatio)})`,
    );
  }
  return dice.one(ways)();
}

/** A probability of those at risk for a period, from 0 to 1. */
export function chancePer(pen: Pen, period: quantity.Period, depth: number): string {
  const { dice } = pen.draft;
  const wanted = quantity.probabilityPer(period);
  const ways: (() => string)[] = [() => pen.input(wanted)];
  if (depth > 1) {
    const inner = () => pen.write(`chance per ${period}`, depth - 1);
    const risk = () => pen.input(quantity.relativeRisk);
    ways.push(
      () => `${inner()} * ${fraction(pen, depth - 1)}`,
      () => `min(1, ${inner()} * ${risk()})`,
      () => `min(1, ${inner()} * (${condition(pen, depth - 1)} ? ${risk()} : 1))`,
      () => `with_odds(${inner()}, ${pen.input(quantity.oddsRatio)})`,
      () => `${pen.input(wanted)} ^ 2`,
      () => `${pen.input(wanted)} * ${pen.input(quantity.probabilityOf("attempt"))}`,
    );
    if (period === pen.draft.grid.cycle.slice(2)) ways.push(() => `chance_of(${pen.write("rate", depth - 1)})`);
  }
  return dice.one(ways)();
}

/** A probability of those who had an event, from 0 to 1. */
export function caseChance(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const wanted = () => pen.input(quantity.probabilityOf(dice.one(["attempt", "case", "visit"])));
  const ways: (() => string)[] = [wanted, () => pen.input(quantity.share), () => dice.one(["0.3", "0.75", "1"])];
  if (depth > 1) {
    ways.push(
      () => `${wanted()} * ${fraction(pen, depth - 1)}`,
      () => `${pen.input(quantity.share)} * ${pen.input(quantity.share)}`,
      () => `(1 - ${wanted()})`,
      () => `with_odds(${wanted()}, ${pen.input(quantity.oddsRatio)})`,
      () => `min(1, ${wanted()} * ${pen.input(quantity.relativeRisk)})`,
      () => `(${condition(pen, depth - 1)} ? ${wanted()} : 0)`,
    );
  }
  return dice.one(ways)();
}
