import { condition, fraction } from "./numbers.ts";
import type { Pen } from "./pen.ts";
import * as quantity from "./quantities.ts";

/** Money per time, of any sign. */
export function yearlyCost(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const ways: (() => string)[] = [
    () => pen.input(quantity.yearlyCost),
    () => pen.input(quantity.monthlyCost),
    () => `${pen.input(quantity.money)} / (1 year)`,
  ];
  if (depth > 1) {
    const inner = () => pen.write("yearly cost", depth - 1);
    ways.push(
      () => `${inner()} * ${pen.write("scale", depth - 1)}`,
      () => `(${inner()} ${dice.one(["+", "-"])} ${inner()})`,
      () => `(${condition(pen, depth - 1)} ? ${inner()} : 0)`,
      () => `${dice.one(["min", "max"])}(${inner()}, ${inner()})`,
    );
  }
  return dice.one(ways)();
}

/** An amount of money of any sign. */
export function money(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const ways: (() => string)[] = [
    () => pen.input(quantity.money),
    () => `abs(${pen.input(quantity.money)})`,
    () => `${pen.input(quantity.minuteCost)} * ${dice.whole(5, 40)} minutes`,
  ];
  if (depth > 1) {
    ways.push(
      () => `${pen.input(quantity.yearlyCost)} * (${pen.write("duration", depth - 1)})`,
      () => `(${condition(pen, depth - 1)} ? ${pen.input(quantity.money)} : 0)`,
    );
  }
  return dice.one(ways)();
}

/** A cost per case. */
export function caseCost(pen: Pen, depth: number): string {
  const cost = () => pen.input(quantity.costOf(pen.draft.dice.one(["case", "piece", "visit"])));
  if (depth <= 1) return cost();
  return pen.draft.dice.way(
    cost,
    () => `${cost()} * ${pen.write("scale", depth - 1)}`,
    () => `max(${cost()}, ${cost()})`,
  );
}

/** Quality of life per time. */
export function utility(pen: Pen, depth: number): string {
  const ways: (() => string)[] = [() => pen.input(quantity.utility)];
  if (depth > 1) {
    const inner = () => pen.write("utility", depth - 1);
    ways.push(
      () => `${inner()} * ${fraction(pen, depth - 1)}`,
      () => `min(${inner()}, ${inner()})`,
      () => `(${inner()} - ${pen.input(quantity.utilityPerBmi)} * (${pen.write("bmi", depth - 1)} - 25 kg/m2))`,
    );
  }
  return pen.draft.dice.one(ways)();
}

/** A length of time, 0 or more. */
export function duration(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const clocked = pen.draft.factors.filter(({ levels }) => levels.some(({ clock }) => clock !== "none"));
  const ways: (() => string)[] = [
    () => pen.input(quantity.duration),
    () => dice.one(["time", "cycle_length", "3 months", "10 days", "0.5 years"]),
  ];
  if (pen.audience.person) for (const { name } of clocked) ways.push(() => `since(${name})`);
  if (depth > 1) {
    ways.push(
      () => `${duration(pen, depth - 1)} * ${fraction(pen, depth - 1)}`,
      () => `abs(time - ${duration(pen, depth - 1)})`,
    );
  }
  return dice.one(ways)();
}

/** A body mass index between about 10 and 60. */
export function bmi(pen: Pen, depth: number): string {
  const ways: (() => string)[] = [() => pen.input(quantity.bmi)];
  for (const { name, unit } of pen.draft.attributes) if (unit === "kg/m2") ways.push(() => name);
  if (depth > 1) {
    const inner = () => pen.write("bmi", depth - 1);
    ways.push(
      () => `${inner()} * (1 - 0.3 * ${pen.input(quantity.share)})`,
      () => `max(20 kg/m2, min(${inner()}, 50 kg/m2))`,
    );
  }
  return pen.draft.dice.one(ways)();
}
