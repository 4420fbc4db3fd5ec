import type { Pen } from "./pen.ts";
import * as quantity from "./quantities.ts";

/** A test of time, cycle, marks, levels, clocks, choices or numbers. */
export function condition(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const { person } = pen.audience;
  const compare = () => dice.one(["<", "<=", ">", ">="]);
  const same = () => dice.one(["==", "!="]);
  const clocked = pen.draft.factors.filter(({ levels }) => levels.some(({ clock }) => clock !== "none"));
  const ways: (() => string)[] = [
    () => `time ${compare()} ${dice.one(["1 year", "6 months", "5 weeks", "0"])}`,
    () => `cycle ${compare()} ${dice.whole(1, pen.draft.grid.cycles)}`,
  ];
  for (const mark of pen.draft.marks.keys()) ways.push(() => mark);
  for (const { name, levels, unit } of pen.draft.attributes) {
    if (levels !== null) ways.push(() => `${name} ${same()} ${dice.one(levels)}`);
    else if (unit === "kg/m2") ways.push(() => `${name} ${compare()} 35 kg/m2`);
  }
  for (const { name, options } of pen.draft.choices) ways.push(() => `${name} ${same()} ${dice.one(options)}`);
  if (person) {
    for (const { name, levels } of pen.draft.factors) ways.push(() => `${name} ${same()} ${dice.one(levels).name}`);
    for (const { name } of clocked) ways.push(() => `since(${name}) ${compare()} ${dice.whole(1, 3)} cycles`);
  }
  if (depth > 1) {
    ways.push(
      () => `not (${condition(pen, depth - 1)})`,
      () => `(${condition(pen, depth - 1)} ${dice.one(["and", "or"])} ${condition(pen, depth - 1)})`,
      () => `(${number(pen, depth - 1)} ${dice.one(["<", ">=", "==", "!="])} ${number(pen, depth - 1)})`,
    );
  }
  return dice.one(ways)();
}

/** A bare number of any sign, up to some tens. */
export function number(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const ways: (() => string)[] = [
    () => pen.input(quantity.number),
    () => pen.input(quantity.count),
    () => pen.input(quantity.countOfPieces),
    () => pen.input(quantity.change),
    () => pen.input(quantity.share),
    () =>
      dice.one(["time / (1 year)", "(time / 2 years)", "(time / cycle_length)", "(cycle / 10)", "2", "0.5", "-1.5"]),
  ];
  if (depth > 1) {
    const inner = () => pen.write("number", depth - 1);
    ways.push(
      () => `(${inner()} ${dice.one(["+", "-"])} ${inner()})`,
      () => `(${inner()} * ${fraction(pen, depth - 1)})`,
      () => `(${inner()} / (1 + abs(${inner()})))`,
      () => `-(${inner()})`,
      () => `abs(${inner()})`,
      () => `floor(${inner()})`,
      () => `log(1 + abs(${inner()}))`,
      () => `sqrt(abs(${inner()}))`,
      () => `exp(min(2, ${inner()}))`,
      () => `${dice.one(["min", "max"])}(${inner()}, ${inner()}, ${inner()})`,
      () => `(max(-4, min(4, ${inner()}))) ^ 2`,
    );
  }
  return dice.one(ways)();
}

/** From 0 to 1, of no kind in particular. */
export function fraction(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const ways: (() => string)[] = [() => pen.input(quantity.share), () => dice.one(["0.25", "0.8"])];
  if (depth > 1) {
    ways.push(
      () => `(1 - ${pen.input(quantity.share)})`,
      () => `exp(-abs(${pen.write("number", depth - 1)}))`,
      () => `min(1, ${pen.write("scale", depth - 1)})`,
      () => `(${fraction(pen, depth - 1)}) * (${fraction(pen, depth - 1)})`,
      () => `with_odds(${pen.input(quantity.share)}, ${pen.input(quantity.oddsRatio)})`,
    );
  }
  return dice.one(ways)();
}

/** A factor that may multiply anything, 0 or more and up to some tens. */
export function scale(pen: Pen, depth: number): string {
  const { dice } = pen.draft;
  const ways: (() => string)[] = [
    () => pen.input(quantity.ratio),
    () => fraction(pen, depth),
    () => `max(0, 1 + ${pen.input(quantity.change)})`,
  ];
  if (depth > 1) {
    ways.push(
      () => `exp(max(-2, min(2, ${pen.write("number", depth - 1)})))`,
      () => `${pen.input(quantity.ratioPerBmi)} ^ (${pen.write("bmi", depth - 1)} - 25 kg/m2)`,
      () => `(${pen.input(quantity.ratio)} ^ ${dice.one(["2", "0.5"])})`,
      () => `sqrt(${pen.write("bmi", depth - 1)} / (30 kg/m2))`,
      () => `(${pen.input(quantity.hazardRatio)} / ${pen.input(quantity.hazardRatio)} == 1 ? 1 : 0.9)`,
    );
  }
  return dice.one(ways)();
}
